// A picture of a few numbers. Each bar has a scale of its own, from zero to its top; the usual band is marked on it.

import { make } from "./elements.js";

/** The picture as an element; read aloud, each bar is one sentence. */
export function bars({ title, bars: each, tops, names }) {
  return make(
    "section",
    { is: "block bars" },
    title ? make("h2", {}, title) : "",
    names.length ? legend(names) : "",
    ...each.map((bar, index) => draw(bar, Number(tops[index]), names)),
  );
}

function legend(names) {
  const keys = names.map((name, index) => make("li", {}, make("span", { is: `key key-${index}`, "aria-hidden": "true" }), name));
  return make("ul", { is: "legend" }, ...keys);
}

function draw(bar, top, names) {
  return make(
    "div",
    { is: `bar tone-${bar.tone}`, role: "img", "aria-label": inWords(bar, names) },
    make("span", { is: "bar-label" }, bar.label),
    make("span", { is: "bar-figures" }, figure(bar.figure, 0), bar.second ? figure(bar.second, 1) : ""),
    make("span", { is: "track" }, band(bar, top), fill(bar.figure, top, 0), bar.second ? fill(bar.second, top, 1) : ""),
  );
}

function figure({ value, text }, index) {
  return make("span", { is: `figure figure-${index}${value === null ? " unknown" : ""}` }, text);
}

function fill({ value }, top, index) {
  const part = make("span", { is: value === null ? `fill fill-${index} unknown` : `fill fill-${index}` });
  if (value !== null) part.style.width = percent(value, top);
  return part;
}

function band({ low, high }, top) {
  if (low === null && high === null) return "";
  const part = make("span", { is: "band" });
  part.style.left = percent(low ?? 0, top);
  part.style.right = `calc(100% - ${percent(high ?? top, top)})`;
  return part;
}

function percent(value, top) {
  return `${Math.max(0, Math.min(100, (100 * Number(value)) / top))}%`;
}

function inWords({ label, figure: first, second, low, high }, names) {
  const values = second ? `${names[0]} ${first.text}, ${names[1]} ${second.text}` : first.text;
  const usual = low !== null && high !== null ? `, usually ${Number(low)} to ${Number(high)}` : "";
  return `${label}: ${values}${usual}`;
}
