// Draws any card: a title, a line of facts, and blocks. A new kind of answer needs nothing new here.

import { bars } from "./bars.js";
import { make } from "./elements.js";
import { plot } from "./plot.js";

const BLOCKS = { table, steps, bars, plot, note };
const WIDTHS = [[3, "wide"], [4, "widest"]]; // cells in a row, besides its label, from which a table needs room
const MARKS = { warn: ["▲", "caution"], good: ["✓", "good"] }; // what is seen, and what is said of it

/** The card as an element; on a page that has a title of its own, the card's is another `heading`. */
export function drawCard(card, heading = "h1") {
  return make(
    "article",
    { is: "card", "data-kind": card.kind, "aria-labelledby": "card-title" },
    make(heading, { is: "card-title", id: "card-title" }, card.title),
    card.facts.length ? make("ul", { is: "facts" }, ...card.facts.map((fact) => make("li", {}, fact))) : "",
    make("div", { is: "blocks" }, ...card.blocks.map((block) => BLOCKS[block.type](block))),
  );
}

function table({ title, heads, rows }) {
  const isSpec = readsAsASpec(heads, rows);
  const flushRight = (rows[0]?.cells ?? []).map((_, at) => isMostlyFigures(rows, at));
  const order = (label, cells) => (isSpec ? [...cells, label] : [label, ...cells]);
  const line = (row) => order(rowHead(row), row.cells.map((value, at) => cell(value, flushRight[at])));
  const headCells = heads.map((text, at) => make("th", { scope: "col", is: flushRight[at - 1] ? "flush" : "" }, text));
  const head = heads.length ? make("thead", {}, make("tr", {}, ...headCells)) : "";
  const body = make("tbody", {}, ...rows.map((row) => make("tr", { is: `tone-${row.tone}` }, ...line(row))));
  const named = { tabindex: "0", role: "group", "aria-label": title || "Table" };
  const whole = make("div", { is: "scrolls", ...named }, make("table", { is: isSpec ? "amounts" : "" }, head, body));
  return block(["table", ...WIDTHS.filter(([least]) => flushRight.length >= least).map(([, is]) => is)].join(" "), title, whole);
}

function isMostlyFigures(rows, at) {
  const cells = rows.map((row) => row.cells[at]).filter((each) => each);
  return cells.filter((each) => typeof each === "object").length * 2 > cells.length;
}

/** A table without heads, one cell a line and a figure first, is read as bartenders read a spec: amount, name. */
function readsAsASpec(heads, rows) {
  const isFigure = ([first]) => typeof first === "object";
  return !heads.length && rows.every(({ cells }) => cells.length === 1) && rows.length > 0 && isFigure(rows[0].cells);
}

function rowHead({ label, note, tone }) {
  return make("th", { scope: "row" }, mark(tone), label, note ? make("span", { is: "aside" }, note) : "");
}

function cell(value, flushRight) {
  const kind = typeof value === "string" ? "phrase" : figureClass(value);
  return make("td", { is: flushRight ? `${kind} flush` : kind }, typeof value === "string" ? value : value.text);
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
  if (!MARKS[tone]) return "";
  const [seen, said] = MARKS[tone];
  return make("span", { is: "mark", role: "img", "aria-label": said }, `${seen} `);
}

function block(type, title, ...content) {
  return make("section", { is: `block ${type}`, "data-title": title || undefined }, title ? make("h2", {}, title) : "", ...content);
}
