// Runs beside the sound card: hands the microphone's samples on in pieces of about a twentieth of a second.

const PIECE = 2048;

class Capture extends AudioWorkletProcessor {
  piece = new Float32Array(PIECE);
  held = 0;

  process(inputs) {
    const channel = inputs[0]?.[0];
    if (!channel) return true;
    for (const sample of channel) {
      this.piece[this.held++] = sample;
      if (this.held === PIECE) this.send();
    }
    return true;
  }

  send() {
    this.port.postMessage(this.piece);
    this.piece = new Float32Array(PIECE);
    this.held = 0;
  }
}

registerProcessor("capture", Capture);
