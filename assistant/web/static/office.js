// The manager's pages: what every one of them does. The form is in draft.js, the lists in lists.js.

import { make } from "./elements.js";
import { send } from "./office-server.js";

const KEPT = "told next";
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
    return null;
  }
}

async function undo(token) {
  const reply = await ask("/api/office/undo", { token });
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
