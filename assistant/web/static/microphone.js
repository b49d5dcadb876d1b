// The microphone: opened at the first press, kept open for a minute after the last one, never listened to in between.

import { resample, wav } from "./sound.js";

const BEFORE_S = 0.25; // sound kept from before the press: people speak as they press
const AFTER_MS = 180; // and after the release: they let go as they finish
const IDLE_MS = 60_000; // then the microphone is let go
const LONGEST_S = 20;
// The recogniser levels the sound itself, gain control clips it, and no voice is heard that would need cancelling.
const AS_IT_IS = { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false };

export class NoMicrophone extends Error {}

/** A microphone's stream. Throws NoMicrophone with a sentence. */
export async function openMicrophone(audio) {
  if (!navigator.mediaDevices) {
    throw new NoMicrophone("This browser gives its microphone only to a page that comes over https. You can type instead.");
  }
  try {
    return await navigator.mediaDevices.getUserMedia({ audio });
  } catch (error) {
    throw new NoMicrophone(
      error.name === "NotFoundError"
        ? "This machine has no microphone. You can type instead."
        : "This page may not use the microphone. Allow it in the browser's settings, or type instead.",
    );
  }
}

export class Microphone {
  #context = null;
  #stream = null;
  #pieces = [];
  #recording = false;
  #opening = null;
  #stopping = Promise.resolve();
  #idle = 0;

  /** `onlevel` is called with the loudness, 0 to 1, of each piece while recording. */
  constructor(onlevel) {
    this.onlevel = onlevel;
  }

  /** Begins an utterance; the first time this asks for the microphone. Throws NoMicrophone with a sentence. */
  async start() {
    await this.#stopping;
    clearTimeout(this.#idle);
    this.#opening ??= this.#open();
    await this.#opening;
    await this.#context.resume();
    this.#recording = true;
  }

  /** Ends the utterance: a WAV file of it (bytes). */
  stop() {
    const file = this.#stop();
    this.#stopping = file.catch(() => {});
    return file;
  }

  async #stop() {
    await new Promise((done) => setTimeout(done, AFTER_MS));
    this.#recording = false;
    const samples = joined(this.#pieces);
    this.#pieces = [];
    this.#rest();
    return wav(resample(samples, this.#context.sampleRate));
  }

  /** Gives the microphone back. */
  close() {
    this.#stream?.getTracks().forEach((track) => track.stop());
    this.#context?.close();
    this.#stream = this.#context = this.#opening = null;
    this.#pieces = [];
    this.#recording = false;
  }

  async #open() {
    try {
      this.#stream = await openMicrophone(AS_IT_IS);
    } catch (error) {
      this.#opening = null;
      throw error;
    }
    await this.#connect();
  }

  async #connect() {
    this.#context = new AudioContext();
    await this.#context.audioWorklet.addModule(new URL("capture.js", import.meta.url));
    const capture = new AudioWorkletNode(this.#context, "capture", { numberOfOutputs: 0, channelCount: 1 });
    capture.port.onmessage = ({ data }) => this.#take(data);
    this.#context.createMediaStreamSource(this.#stream).connect(capture);
    this.#stream.getTracks().forEach((track) => track.addEventListener("ended", () => this.close()));
  }

  #take(piece) {
    const seconds = this.#recording ? LONGEST_S : BEFORE_S;
    this.#pieces.push(piece);
    while (this.#pieces.length * piece.length > seconds * this.#context.sampleRate) this.#pieces.shift();
    if (this.#recording) this.onlevel(loudness(piece));
  }

  #rest() {
    this.#idle = setTimeout(() => this.close(), IDLE_MS);
  }
}

function joined(pieces) {
  const all = new Float32Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

/** From 0 (-50 dB, a quiet room) to 1 (-10 dB, close to the microphone). */
function loudness(piece) {
  const power = piece.reduce((sum, sample) => sum + sample * sample, 0) / piece.length;
  return Math.max(0, Math.min(1, (10 * Math.log10(power + 1e-10) + 50) / 40));
}
