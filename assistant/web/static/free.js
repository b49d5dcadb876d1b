// Hands-free: a button turns it on, the house's phrase wakes it, and nobody need look: a chime and a frame say so.

import { chime } from "./chime.js";
import { Stream } from "./stream.js";

const OFF = "off"; // else what the server says: asleep, listening

export class HandsFree {
  #page = document.body;
  #button = document.getElementById("free");
  #stream;

  /**
   * `isAloud` says whether a reply is being spoken. Called: `onwake` when it begins to listen, `onpartial` with what may
   * have been said so far, `onreply` with a reply, `onerror` with what ended it.
   */
  constructor({ isAloud, onwake, onpartial, onreply, onerror }) {
    Object.assign(this, { onwake, onpartial, onreply });
    this.#stream = new Stream({
      isAloud,
      onmoment: (moment) => this.#take(moment),
      onerror: (error) => (this.#become(OFF), onerror(error)),
    });
    this.#button.addEventListener("click", () => this.toggle().catch((error) => (this.#become(OFF), onerror(error))));
    this.#become(OFF);
  }

  /** Turns it on or off. Throws NoMicrophone with a sentence. */
  async toggle() {
    if (this.#stream.isOn) {
      this.#stream.stop();
      this.#become(OFF);
    } else {
      await this.#stream.start();
      this.#become("asleep");
    }
  }

  /** Waits for the phrase again, whatever was being said. */
  rest() {
    if (!this.#stream.isOn) return;
    this.#stream.restart();
    this.#become("asleep");
  }

  #take({ state, spoken_to: isSpokenTo, partial, reply }) {
    const wakes = state === "listening" && this.#page.dataset.ear === "asleep";
    this.#become(state);
    if (wakes) this.onwake();
    if (wakes && !isSpokenTo && !reply) chime(); // a chime would talk into a command that has begun
    if (partial) this.onpartial(partial);
    if (reply) this.onreply(reply);
  }

  #become(state) {
    this.#page.dataset.ear = state;
    this.#button.setAttribute("aria-pressed", String(state !== OFF));
  }
}
