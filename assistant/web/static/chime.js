// Two soft notes, rising: it listens. Short, so that they are over before anybody has begun to speak.

const NOTES = [587, 880]; // hertz
const NOTE_S = 0.07;
const LOUDNESS = 0.12; // of 1

let context = null;

export function chime() {
  context ??= new AudioContext();
  context.resume();
  NOTES.forEach((hertz, i) => note(hertz, context.currentTime + i * NOTE_S));
}

function note(hertz, start) {
  const tone = new OscillatorNode(context, { frequency: hertz });
  const level = new GainNode(context, { gain: 0 });
  level.gain.setValueAtTime(0, start);
  level.gain.linearRampToValueAtTime(LOUDNESS, start + 0.01);
  level.gain.linearRampToValueAtTime(0, start + NOTE_S);
  tone.connect(level).connect(context.destination);
  tone.start(start);
  tone.stop(start + NOTE_S);
}
