// Lists in: shown with what they would do, mended by saying what columns and names mean, then taken.

import { drawCard } from "./card.js";
import { make } from "./elements.js";
import { ask, tell } from "./office.js";
import { who } from "./office-server.js";

const at = (id) => document.getElementById(id);
const MOST_BYTES = 6_000_000;
const TOO_LARGE = "That file is larger than six million letters. Give it to prep-assistant import in the terminal instead.";
const MEANS = { item: "the name", pack: "the pack", count: "how many in a case", price: "the price", each: "the price of one", sold: "how many sold" };
let file = null;
let said = { columns: {}, matches: {}, large: false };

const kind = () => document.querySelector("[name=kind]:checked").value;

async function give(take = false) {
  if (!file) return;
  if (file.size > MOST_BYTES) return tell(TOO_LARGE, { isTrouble: true });
  const query = new URLSearchParams({ with: JSON.stringify({ ...said, take, who: who() }) });
  const found = await ask(`/api/office/lists/${kind()}?${query}`, null, { file });
  if (!found) return;
  if (take && found.reply.undo) {
    tell(found.reply.say, { undo: found.reply.undo });
    reset();
    at("file").value = "";
    return;
  }
  show(found);
}

function show({ reply, near, can_be_taken: canBeTaken, columns }) {
  at("shown").hidden = false;
  at("said").textContent = reply.say;
  at("said").classList.toggle("trouble", !reply.understood);
  at("take").hidden = !canBeTaken;
  at("large").hidden = kind() !== "prices";
  at("card").replaceChildren(reply.card ? drawCard(reply.card, "h2") : "");
  showColumns(columns);
  showNear(near);
}

/** The first lines of the list, with what each column holds to be chosen above it. */
function showColumns(columns) {
  at("columns").hidden = !columns?.lines.length;
  if (at("columns").hidden) return;
  const width = Math.max(...columns.lines.map((line) => line.length));
  const held = Object.fromEntries(Object.entries(columns.places).map(([what, place]) => [place, what]));
  const heads = Array.from({ length: width }, (_, place) => make("th", { scope: "col" }, chooser(place, held[place] ?? "", columns)));
  const rows = columns.lines.map((line) => make("tr", {}, ...Array.from({ length: width }, (_, place) => make("td", {}, line[place] ?? ""))));
  const table = make("table", { is: "columns" }, make("thead", {}, make("tr", {}, ...heads)), make("tbody", {}, ...rows));
  const named = { tabindex: "0", role: "group", "aria-label": "The first lines of the list" };
  at("columns").replaceChildren(make("h3", {}, "What its columns hold"), make("div", { is: "scrolls", ...named }, table));
}

function chooser(place, held, columns) {
  const options = ["", ...columns.can_hold].map((what) => make("option", { value: what, selected: what === held }, MEANS[what] ?? "nothing we need"));
  const select = make("select", { "aria-label": `Column ${place + 1}` }, ...options);
  select.addEventListener("change", () => {
    const kept = Object.entries({ ...numbered(columns.places), ...said.columns }).filter(([what, number]) => what !== select.value && number !== String(place + 1));
    said.columns = Object.fromEntries(kept);
    if (select.value) said.columns[select.value] = String(place + 1);
    give();
  });
  return select;
}

function numbered(places) {
  return Object.fromEntries(Object.entries(places).map(([what, place]) => [what, String(place + 1)]));
}

/** Names that are only near to ours, each with ours to choose from. */
function showNear(near) {
  const names = [...new Map([...near.map(({ name, near: ours }) => [name, ours]), ...Object.entries(said.matches)]).entries()];
  at("near").hidden = !names.length;
  const lines = names.map(([name, ours], index) => {
    const chosen = said.matches[name] ?? [];
    const options = ["", ...new Set([...ours, ...chosen])].map((one) => make("option", { value: one, selected: chosen.includes(one) }, one || "not one of ours"));
    const select = make("select", { id: `near-${index}` }, ...options);
    select.addEventListener("change", () => {
      const { [name]: _, ...rest } = said.matches;
      said.matches = select.value ? { ...rest, [name]: [select.value] } : rest;
      give();
    });
    return make("li", {}, make("label", { for: select.id }, name), select);
  });
  at("near").replaceChildren(make("h3", {}, "Are any of these ours?"), make("ul", { is: "near" }, ...lines));
}

function reset() {
  file = null;
  said = { columns: {}, matches: {}, large: false };
  at("large-changes").checked = false;
  at("shown").hidden = true;
}

at("file").addEventListener("change", ({ target }) => {
  reset();
  file = target.files[0] ?? null;
  give();
});
at("list").addEventListener("change", ({ target }) => {
  if (target.name !== "kind") return;
  const chosen = file;
  reset();
  file = chosen;
  give();
});
at("large-changes").addEventListener("change", ({ target }) => {
  said.large = target.checked;
  give();
});
at("take").addEventListener("click", () => give(true));
