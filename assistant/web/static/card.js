// Draws any card: a title, a line of facts, and blocks. A new kind of answer needs nothing new here.

import { bars } from "./bars.js";
import { make } from "./elements.js";

const BLOCKS = { table, steps, bars, note };
const MARKS = { warn: "▲", good: "✓", strong: "", muted: "", plain: "" };

/** The card as an element. */
export function drawCard(card) {
  return make(
    "article",
    { is: "card", "data-kind": card.kind, "aria-labelledby": "card-title" },
    make("h1", { is: "card-title", id: "card-title" }, card.title),
    card.facts.length ? make("ul", { is: "facts" }, ...card.facts.map((fact) => make("li", {}, fact))) : "",
    make("div", { is: "blocks" }, ...card.blocks.map((block) => BLOCKS[block.type](block))),
  );
}

function table({ title, heads, rows }) {
  const isSpec = readsAsASpec(heads, rows);
  const order = (label, cells) => (isSpec ? [...cells, label] : [label, ...cells]);
  const headCells = heads.map((head) => make("th", { scope: "col" }, head));
  const head = heads.length ? make("thead", {}, make("tr", {}, ...headCells)) : "";
  const lines = rows.map((row) => make("tr", { is: `tone-${row.tone}` }, ...order(rowHead(row), row.cells.map(cell))));
  const whole = make("table", { is: isSpec ? "amounts" : "" }, head, make("tbody", {}, ...lines));
  const named = { tabindex: "0", role: "group", "aria-label": title || "Table" };
  return block("table", title, make("div", { is: "scrolls", ...named }, whole));
}

/** A table without heads, one figure a line, is read as a bartender reads a spec: the amount first. */
function readsAsASpec(heads, rows) {
  return heads.length === 0 && rows.every(({ cells }) => cells.length === 1 && typeof cells[0] !== "string");
}

function rowHead({ label, note, tone }) {
  return make("th", { scope: "row" }, mark(tone), label, note ? make("span", { is: "aside" }, note) : "");
}

function cell(value) {
  const isFigure = typeof value !== "string";
  return make("td", { is: isFigure ? figureClass(value) : "phrase" }, isFigure ? value.text : value);
}

function figureClass(figure) {
  return figure.value === null ? "figure unknown" : "figure";
}

function steps({ title, items, current }) {
  const lines = items.map((item, index) =>
    make("li", { is: index === current ? "now" : "", "aria-current": index === current ? "step" : undefined }, item),
  );
  return block("steps", title, make("ol", {}, ...lines));
}

function note({ text, tone }) {
  return make("p", { is: `block note tone-${tone}` }, mark(tone), text);
}

function mark(tone) {
  return MARKS[tone] ? make("span", { is: "mark", "aria-hidden": "true" }, `${MARKS[tone]} `) : "";
}

function block(type, title, ...content) {
  return make("section", { is: `block ${type}` }, title ? make("h2", {}, title) : "", ...content);
}
