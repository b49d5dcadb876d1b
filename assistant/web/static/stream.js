// The microphone for as long as the page is hands-free: its sound goes to the server in short pieces, one at a time.

import { hears } from "./server.js";
import { NoMicrophone, openMicrophone } from "./microphone.js";
import { Resampler, steps } from "./sound.js";

const PIECE_S = 0.2; // of sound in a request, or what has come while the last one was answered
const LONGEST_S = 8; // of it: what is older is let go when the server cannot keep up
const ECHO_MS = 400; // after a spoken reply, in which the room still says it
// The reply's own voice is taken out as far as the browser can; the level is left to the server.
const WITHOUT_ECHO = { channelCount: 1, echoCancellation: true, noiseSuppression: false, autoGainControl: false };

export class Stream {
  #context = null;
  #media = null;
  #pieces = [];
  #isAloud = false;
  #aloudUntil = 0;
  #name = 0;

  /** `isAloud` says whether a reply is being spoken; `onmoment` gets each answer, `onerror` what ended the stream. */
  constructor({ isAloud, onmoment, onerror }) {
    Object.assign(this, { isAloud, onmoment, onerror });
  }

  get isOn() {
    return this.#context !== null;
  }

  /** Begins; the first time this asks for the microphone. Throws NoMicrophone with a sentence. */
  async start() {
    this.#media = await openMicrophone(WITHOUT_ECHO);
    const context = (this.#context = new AudioContext());
    const resampler = new Resampler(context.sampleRate);
    await context.audioWorklet.addModule(new URL("capture.js", import.meta.url));
    const capture = new AudioWorkletNode(context, "capture", { numberOfOutputs: 0, channelCount: 1 });
    capture.port.onmessage = ({ data }) => this.#take(resampler.take(data));
    context.createMediaStreamSource(this.#media).connect(capture);
    await context.resume();
    for (const track of this.#media.getTracks()) {
      track.addEventListener("ended", () => this.#end(new NoMicrophone("The microphone has gone. Hands-free is off.")));
    }
    this.restart();
    this.#send(context);
  }

  /** Has the server forget what it heard so far, and wait for the phrase. */
  restart() {
    this.#name = crypto.getRandomValues(new Uint32Array(1))[0];
    this.#pieces = [];
  }

  /** Gives the microphone back. */
  stop() {
    this.#media?.getTracks().forEach((track) => track.stop());
    this.#context?.close();
    this.#context = this.#media = null;
    this.#pieces = [];
  }

  #take(samples) {
    if (this.isAloud()) this.#aloudUntil = performance.now() + ECHO_MS;
    const isAloud = performance.now() < this.#aloudUntil;
    if (isAloud !== this.#isAloud) this.#pieces = []; // what was heard on the other side of a reply is over
    this.#isAloud = isAloud;
    this.#pieces.push(samples);
    while (this.#seconds() > LONGEST_S) this.#pieces.shift();
  }

  #seconds() {
    return this.#pieces.reduce((sum, piece) => sum + piece.length, 0) / Resampler.RATE;
  }

  /** Sends what has come, waits for the answer, and so on until the stream is stopped. */
  async #send(context) {
    while (this.#context === context) {
      if (this.#seconds() < PIECE_S) {
        await new Promise((done) => setTimeout(done, 40));
        continue;
      }
      const [sound, name] = [steps(this.#pieces.splice(0)), this.#name];
      try {
        const moment = await hears(sound, { stream: name, aloud: this.#isAloud });
        if (this.#context === context && name === this.#name) this.onmoment(moment);
      } catch (error) {
        if (this.#context === context) this.#end(error);
      }
    }
  }

  #end(error) {
    this.stop();
    this.onerror(error);
  }
}
