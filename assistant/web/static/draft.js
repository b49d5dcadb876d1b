// The form of a drink or an ingredient: weighed up while it is typed, and kept when it is whole.

import { drawCard } from "./card.js";
import { make } from "./elements.js";
import { ask, goAndTell, tell } from "./office.js";
import { who } from "./office-server.js";
import { Rows } from "./rows.js";

const PAUSE_MS = 350; // after the last key, before the draft is weighed up
const form = document.getElementById("draft");
const at = (id) => document.getElementById(id);
const touched = new Set();
const names = (list) => [...(at(`names-${list}`)?.options ?? [])].map((option) => option.value);
const rows = [...form.querySelectorAll("[data-rows]")].map((field) => new Rows(field, names(field.dataset.names), changed));
let waiting = null;
let asking = null;
let isDirty = false;

/** Every field as it is typed: a text, or a list of texts. */
function fields() {
  const typed = {};
  for (const control of form.elements) {
    if (!control.name || control.name === "page") continue;
    if (control.type === "radio") typed[control.name] = control.checked ? control.value : typed[control.name] ?? "";
    else if (control.type === "checkbox") typed[control.name] = [...(typed[control.name] ?? []), ...(control.checked ? [control.value] : [])];
    else if ("lines" in control.dataset) typed[control.name] = control.value.split("\n").map((line) => line.trim()).filter((line) => line);
    else typed[control.name] = control.value.trim();
  }
  for (const list of rows) typed[list.name] = list.values;
  if (typed.allergens_are !== undefined && typed.allergens_are !== "these") typed.allergens = [];
  return typed;
}

function draft() {
  const { kind, was, seen } = form.dataset;
  return { kind, was, seen, page: form.elements.page?.value ?? "", fields: fields() };
}

function changed(name) {
  if (name) touched.add(name);
  isDirty = true;
  clearTimeout(waiting);
  waiting = setTimeout(weigh, PAUSE_MS);
}

async function weigh() {
  asking?.abort();
  asking = new AbortController();
  const report = await ask("/api/office/weigh", draft(), { signal: asking.signal });
  if (report) show(report);
}

function show({ reply, faults, elsewhere, lines, text }) {
  showFaults(faults);
  for (const list of rows) list.show(lines[list.name] ?? []);
  fill("elsewhere", elsewhere);
  fill("cautions", reply.cautions);
  at("live").replaceChildren(reply.card ? drawCard(reply.card, "h2") : "");
  at("text").textContent = text;
  if (at("short").textContent !== reply.say) at("short").textContent = reply.say;
}

/** Beside each field that was touched, what is to mend in it. */
function showFaults(faults) {
  for (const place of form.querySelectorAll(".mend[id^='m-']")) {
    const field = place.id.slice(2);
    const own = Object.entries(faults).filter(([name]) => belongs(name, field)).flatMap(([, said]) => said);
    const isShown = own.length > 0 && [...touched].some((name) => belongs(name, field) || name === "*");
    place.textContent = isShown ? own.join(" ") : "";
    place.hidden = !isShown;
    controls(field).forEach((control) => control.setAttribute("aria-invalid", String(isShown)));
  }
}

/** A fault of 'pack.size' stands at its own field; one of 'abv.value' at the field of abv, which has both. */
function belongs(name, field) {
  if (name === field) return true;
  return name.startsWith(`${field}.`) && !at(`m-${name}`);
}

function controls(field) {
  return [...form.elements].filter((control) => control.name === field || (control.name?.startsWith(`${field}.`) && !at(`m-${control.name}`)));
}

function fill(id, sentences) {
  at(id).replaceChildren(...sentences.map((sentence) => make("li", {}, sentence)));
  at(id).hidden = !sentences.length;
}

async function keep() {
  touched.add("*");
  await weigh();
  const reply = await ask("/api/office/keep", { ...draft(), who: who() });
  if (!reply) return;
  if (!reply.understood) {
    tell(reply.say, { isTrouble: true });
    form.querySelector("[aria-invalid='true']")?.focus();
    return;
  }
  isDirty = false;
  const name = encodeURIComponent(form.elements.name.value.trim());
  goAndTell(`/office/${form.dataset.kind}?name=${name}`, reply);
}

/** Takes the entry out as it was opened; what was typed since goes with it, and Undo brings the entry back. */
async function remove() {
  const { kind, was, seen } = form.dataset;
  const reply = await ask("/api/office/remove", { kind, was, seen, who: who() });
  if (!reply) return;
  if (!reply.understood) return tell(reply.say, { isTrouble: true });
  isDirty = false;
  goAndTell("/office", reply);
}

/** A new drink comes from where most of its shelf does, until somebody says otherwise. */
form.elements.page?.addEventListener("change", ({ target }) => {
  const usual = JSON.parse(form.dataset.usual)[target.value];
  if (usual && form.elements.source && !touched.has("source")) form.elements.source.value = usual;
});
form.addEventListener("input", ({ target }) => target.name && changed(target.name));
form.addEventListener("change", ({ target }) => target.name && changed(target.name));
form.addEventListener("submit", (event) => {
  event.preventDefault();
  keep();
});
at("remove")?.addEventListener("click", remove);
addEventListener("beforeunload", (event) => isDirty && event.preventDefault());

at("price")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const reply = await ask("/api/office/price", { ingredient: event.target.dataset.ingredient, price: at("new-price").value, who: who() });
  if (!reply) return;
  if (reply.undo) return goAndTell(location.pathname + location.search, reply);
  at("m-new-price").textContent = reply.say;
  at("m-new-price").hidden = false;
  at("new-price").setAttribute("aria-invalid", "true");
  at("new-price").focus();
});

weigh();
