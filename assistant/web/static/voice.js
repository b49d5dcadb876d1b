// The spoken reply, by a voice that this machine has itself; with none there is silence, and the page says the same.

const KEY = "voice";
const SLOW = 2 / 3; // of the usual speed

export class Voice {
  /** Muted or not; kept from visit to visit. */
  get muted() {
    return localStorage.getItem(KEY) === "off";
  }

  set muted(muted) {
    localStorage.setItem(KEY, muted ? "off" : "on");
    if (muted) this.stop();
  }

  /** Whether it is speaking just now. */
  get isAloud() {
    return Boolean(globalThis.speechSynthesis?.speaking);
  }

  /** Speaks and settles when done, cut short or not possible. `onstart` is called once there is sound. */
  speak(text, slow, onstart) {
    this.stop();
    const voice = this.muted ? null : localVoice();
    if (!voice) return Promise.resolve();
    return new Promise((done) => {
      const words = new SpeechSynthesisUtterance(text);
      words.voice = voice;
      words.lang = voice.lang;
      words.rate = slow ? SLOW : 1;
      words.onstart = onstart;
      words.onend = words.onerror = done;
      speechSynthesis.speak(words);
    });
  }

  /** Falls silent. */
  stop() {
    globalThis.speechSynthesis?.cancel();
  }
}

function localVoice() {
  const voices = globalThis.speechSynthesis?.getVoices() ?? [];
  const english = voices.filter((voice) => voice.localService && voice.lang.toLowerCase().startsWith("en"));
  return english.find((voice) => voice.default) ?? english[0];
}

globalThis.speechSynthesis?.getVoices(); // browsers fill the list after it is first asked for
