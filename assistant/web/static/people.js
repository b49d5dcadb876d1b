// Who is speaking on this device, which it remembers, and whether they have typed the manager's PIN, which it does not.

import { make } from "./elements.js";
import { pin, startAfresh, who } from "./server.js";

const UNNAMED = "Who?";

const at = (id) => document.getElementById(id);

export class People {
  #timer = 0;
  #asked = 0;
  isManager = false;

  /** `onlock` is called when this device is the manager's no more. */
  constructor(onlock) {
    this.onlock = onlock;
    at("who").addEventListener("click", () => this.open());
    at("people-close").addEventListener("click", () => at("people").close());
    at("nobody").addEventListener("click", () => this.#leave());
    at("name-form").addEventListener("submit", (event) => this.#named(event, at("name").value.trim()));
    at("known").addEventListener("click", (event) => this.#named(event, event.target.closest("button")?.value));
    at("pin-form").addEventListener("submit", (event) => this.#typed(event));
    at("lock").addEventListener("click", () => this.#ask("lock").then(() => this.onlock()));
    this.#show();
    this.#ask("");
  }

  /** Opens the window, at the PIN if that is what it is for. */
  open(forPin = false) {
    at("pin-said").textContent = "";
    at("name").value = who.name;
    at("people").showModal();
    (forPin ? at("pin") : at("name")).focus();
    this.#ask("");
  }

  /** Takes from a reply who asked, and whether the device is to be locked. */
  heard(reply) {
    if (reply.who) this.#remember(reply.who);
    if (reply.pin === "lock") this.#unlockedFor(0);
  }

  #named(event, name) {
    event.preventDefault();
    if (!name) return;
    this.#remember(name);
    at("people").close();
  }

  #leave() {
    who.name = "";
    startAfresh();
    this.#show();
    at("people").close();
  }

  #remember(name) {
    who.name = name;
    this.#show();
  }

  async #typed(event) {
    event.preventDefault();
    const digits = at("pin").value;
    at("pin").value = "";
    if (digits) await this.#ask(at("pin-form").dataset.does, digits);
  }

  /** Asks about the PIN ("": how it stands) and shows what comes of it. */
  async #ask(what, digits) {
    const turn = ++this.#asked;
    const answer = await pin(what, digits);
    if (!answer || turn !== this.#asked) return; // what was asked since tells how it stands now
    at("pin-said").textContent = answer.error ?? answer.say;
    if (answer.error) return;
    if (what === "" || what === "set") this.#offer(answer);
    this.#unlockedFor(answer.unlocked_s);
  }

  /** What typing a PIN does here: unlock, set the first one, or nothing, where there is none and this is no place for it. */
  #offer({ has_pin: hasPin = true, may_set: maySet = false }) {
    at("pin-form").dataset.does = maySet ? "set" : "unlock";
    at("pin-does").textContent = maySet ? "Set a PIN" : "Unlock";
    at("pin-line").hidden = !hasPin && !maySet;
    at("pin-none").hidden = hasPin;
  }

  #unlockedFor(seconds) {
    clearTimeout(this.#timer);
    const was = this.isManager;
    this.isManager = seconds > 0;
    if (this.isManager) this.#timer = setTimeout(() => this.#unlockedFor(0), 1000 * seconds);
    this.#show();
    if (was && !this.isManager) this.onlock();
  }

  #show() {
    at("who-word").textContent = [who.name || (this.isManager ? "" : UNNAMED), this.isManager ? "manager" : ""].filter(Boolean).join(", ");
    at("nobody").hidden = !who.name;
    at("lock").hidden = !this.isManager;
  }
}

/** A button that opens the window at the PIN. */
export function pinButton(people) {
  const button = make("button", { is: "choice", type: "button" }, "Type the PIN");
  button.addEventListener("click", () => people.open(true));
  return button;
}
