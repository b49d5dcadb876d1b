// From what a microphone gives to what a recogniser takes: 16 kHz, mono, 16-bit, in a WAV file.

export const RATE = 16000;
const CUTOFF = 0.94; // of the lower Nyquist frequency: what lies above it would fold back as hiss
const CROSSINGS = 24; // zero crossings of the low-pass on each side of its centre

/** Samples at RATE: a windowed-sinc low-pass, read at each new instant. `rate` is a whole number of hertz. */
export function resample(samples, rate) {
  if (rate === RATE) return samples;
  const common = divisor(rate, RATE);
  const filters = phases(rate / common, RATE / common);
  const out = new Float32Array(Math.floor((samples.length * RATE) / rate));
  for (let i = 0; i < out.length; i++) {
    const { taps, offset } = filters[i % filters.length];
    const first = Math.floor((i * rate) / RATE) + offset;
    let sum = 0;
    for (let j = 0; j < taps.length; j++) sum += taps[j] * (samples[first + j] ?? 0);
    out[i] = sum;
  }
  return out;
}

/** Resamples sound that comes in pieces, as `resample` does the whole: each piece waits for what comes after it. */
export class Resampler {
  static RATE = RATE;
  #held = new Float32Array(0);

  constructor(rate) {
    this.rate = rate;
    this.unit = rate / divisor(rate, RATE); // old samples, after which both rates meet again
    const reach = Math.ceil((CROSSINGS * Math.max(1, rate / RATE)) / CUTOFF) + 1;
    this.margin = Math.ceil(reach / this.unit) * this.unit;
    this.#held = new Float32Array(this.margin);
  }

  /** The samples at RATE that can be told by now. */
  take(piece) {
    if (this.rate === RATE) return piece;
    const all = new Float32Array(this.#held.length + piece.length);
    all.set(this.#held);
    all.set(piece, this.#held.length);
    const ready = Math.floor((all.length - 2 * this.margin) / this.unit) * this.unit;
    if (ready <= 0) {
      this.#held = all;
      return new Float32Array(0);
    }
    this.#held = all.slice(ready);
    const skipped = (this.margin * RATE) / this.rate;
    return resample(all, this.rate).slice(skipped, skipped + (ready * RATE) / this.rate);
  }
}

/** One filter for each place where a new instant can fall between two old ones: `up` of them. */
function phases(down, up) {
  const cutoff = CUTOFF * Math.min(1, up / down);
  const reach = Math.ceil(CROSSINGS / cutoff);
  return Array.from({ length: up }, (_, i) => {
    const between = ((i * down) % up) / up;
    const taps = Float32Array.from({ length: 2 * reach }, (_, j) => tap(j - reach + 1 - between, cutoff, reach));
    return { taps, offset: 1 - reach };
  });
}

function tap(distance, cutoff, reach) {
  const window = 0.5 + 0.5 * Math.cos((Math.PI * distance) / reach);
  const x = Math.PI * distance * cutoff;
  return cutoff * window * (x === 0 ? 1 : Math.sin(x) / x);
}

function divisor(a, b) {
  return b === 0 ? a : divisor(b, a % b);
}

/** Pieces of samples as one run of 16-bit ones, little-endian (bytes). */
export function steps(pieces) {
  const bytes = new DataView(new ArrayBuffer(2 * pieces.reduce((sum, piece) => sum + piece.length, 0)));
  let at = 0;
  for (const piece of pieces) for (const sample of piece) bytes.setInt16(2 * at++, step(sample), true);
  return bytes.buffer;
}

function step(sample) {
  return Math.round(Math.max(-1, Math.min(1, sample)) * 32767);
}

/** A WAV file (bytes) of 16-bit samples at RATE. */
export function wav(samples) {
  const bytes = new DataView(new ArrayBuffer(44 + 2 * samples.length));
  const word = (at, text) => [...text].forEach((c, i) => bytes.setUint8(at + i, c.charCodeAt(0)));
  word(0, "RIFF");
  bytes.setUint32(4, 36 + 2 * samples.length, true);
  word(8, "WAVEfmt ");
  bytes.setUint32(16, 16, true); // length of the format part
  bytes.setUint16(20, 1, true); // PCM
  bytes.setUint16(22, 1, true); // mono
  bytes.setUint32(24, RATE, true);
  bytes.setUint32(28, 2 * RATE, true); // bytes a second
  bytes.setUint16(32, 2, true); // bytes a sample
  bytes.setUint16(34, 16, true); // bits a sample
  word(36, "data");
  bytes.setUint32(40, 2 * samples.length, true);
  samples.forEach((sample, i) => bytes.setInt16(44 + 2 * i, step(sample), true));
  return bytes.buffer;
}
