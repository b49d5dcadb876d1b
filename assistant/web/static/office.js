// The manager's pages: what every one of them does. The form is in draft.js, the lists in lists.js.

import { make } from "./elements.js";
import { send, who } from "./office-server.js";

const KEPT = "told next";
const LOCKED = 403; // the status of HTTP for what is the manager's alone
const at = (id) => document.getElementById(id);

/** Says something to eye and ear, with a button that takes it back where there is a token. */
export function tell(sentence, { undo = null, isTrouble = false } = {}) {
  const told = at("told");
  told.hidden = false;
  told.className = isTrouble ? "told trouble" : "told";
  const button = undo ? make("button", { is: "quiet", type: "button", "data-undo": undo }, "Undo") : "";
  told.replaceChildren(make("p", {}, sentence), button || "");
  told.scrollIntoView({ block: "nearest" });
}

/** Goes to a page, which then says what was said here. */
export function goAndTell(address, reply) {
  sessionStorage.setItem(KEPT, JSON.stringify({ say: reply.say, undo: reply.undo }));
  if (address === location.pathname + location.search) location.reload();
  else location.assign(address);
}

/** Sends, and tells what went wrong if anything did; the answer, or null. */
export async function ask(path, body, options = {}) {
  try {
    return await send(path, body, options);
  } catch (error) {
    if (error.name === "AbortError") return null;
    tell(error.message, { isTrouble: true });
    if (error.status === LOCKED && !at("unlock")) at("told").append(pinForm());
    return null;
  }
}

/** Where the PIN is typed, when half an hour is over while something is being written; what was typed stays. */
function pinForm() {
  const pin = make("input", { is: "short", type: "password", inputmode: "numeric", autocomplete: "off", maxlength: "40", "aria-label": "PIN" });
  const form = make("form", { is: "unlock" }, pin, make("button", { is: "act", type: "submit" }, "Unlock"));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const reply = await ask("/api/pin/unlock", { pin: pin.value });
    if (reply) tell(`${reply.say} Press again what you pressed.`);
  });
  return form;
}

async function undo(token) {
  const reply = await ask("/api/office/undo", { token, who: who() });
  if (!reply) return;
  if (!reply.understood) tell(reply.say, { isTrouble: true });
  else goAndTell(document.body.dataset.page === "form" ? "/office" : location.pathname + location.search, reply);
}

document.addEventListener("click", ({ target }) => {
  const token = target.closest("[data-undo]")?.dataset.undo;
  if (token) undo(token);
});

at("own")?.addEventListener("click", async () => {
  const reply = await ask("/api/office/own", {});
  if (!reply) return;
  if (reply.understood) goAndTell("/office", reply);
  else tell(reply.say, { isTrouble: true });
});

at("unlock")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const reply = await ask("/api/pin/unlock", { pin: at("pin").value });
  if (reply) goAndTell(location.pathname + location.search, reply);
});

at("find")?.addEventListener("input", ({ target }) => {
  const wanted = target.value.trim().toLowerCase();
  let count = 0;
  for (const shelf of document.querySelectorAll(".shelf")) {
    for (const line of shelf.querySelectorAll("li")) {
      line.hidden = !line.firstElementChild.textContent.toLowerCase().includes(wanted);
      count += line.hidden ? 0 : 1;
    }
    shelf.hidden = !shelf.querySelector("li:not([hidden])");
  }
  at("found").textContent = wanted ? `${count} found` : "";
});

const kept = sessionStorage.getItem(KEPT);
if (kept) {
  sessionStorage.removeItem(KEPT);
  const { say, undo: token } = JSON.parse(kept);
  tell(say, { undo: token });
}
