// A picture of two measures: numbered dots on a field that two lines cut into four, and the names of the numbers below.

import { make } from "./elements.js";

const SVG = "http://www.w3.org/2000/svg";
const [WIDTH, HEIGHT, DOT] = [320, 230, 9];
const [BESIDE, BELOW] = [16, 28]; // of the drawing, kept free of dots: the fields' names stand there

/** The picture as an element; read aloud it is its title, and the list of names with their figures. */
export function plot({ title, dots, across, up, across_from: acrossFrom, up_from: upFrom, fields }) {
  const known = dots.map((dot, index) => ({ ...dot, number: index + 1 })).filter((dot) => dot.across.value !== null && dot.up.value !== null);
  const x = scale([...known.map((dot) => dot.across), acrossFrom], WIDTH, BESIDE);
  const y = scale([...known.map((dot) => dot.up), upFrom], HEIGHT, BELOW);
  const [left, top] = [x(acrossFrom), HEIGHT - y(upFrom)];
  const picture = shape(
    "svg",
    { class: "plot", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img", "aria-label": `${title}. ${across}: to the right. ${up}: upwards.` },
    shape("rect", { class: "plot-field", width: WIDTH, height: HEIGHT }),
    shape("path", { class: "plot-line", d: `M${left} 0V${HEIGHT}M0 ${top}H${WIDTH}` }),
    ...corners(fields),
    ...known.map((dot) => drawn(dot, x(dot.across), HEIGHT - y(dot.up))),
  );
  const names = known.map(({ label, across: one, up: other }) => make("li", {}, `${label} `, make("span", { is: "aside" }, `${one.text}, ${other.text}`)));
  return make(
    "section",
    { is: "block plotted" },
    title ? make("h2", {}, title) : "",
    picture,
    make("p", { is: "plot-axes" }, `→ ${across}, line at ${acrossFrom.text}; ↑ ${up}, line at ${upFrom.text}`),
    make("ol", { is: "plot-names" }, ...names),
  );
}

/** A figure's place on a scale that holds them all. */
function scale(figures, size, free) {
  const values = figures.map(({ value }) => Number(value));
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return ({ value }) => (high > low ? free + ((Number(value) - low) / (high - low)) * (size - 2 * free) : size / 2);
}

function corners([upperLeft, upperRight, lowerLeft, lowerRight]) {
  const at = (text, x, y, anchor) => shape("text", { class: "plot-name", x, y, "text-anchor": anchor }, text);
  return [
    at(upperLeft, 5, 14, "start"),
    at(upperRight, WIDTH - 5, 14, "end"),
    at(lowerLeft, 5, HEIGHT - 6, "start"),
    at(lowerRight, WIDTH - 5, HEIGHT - 6, "end"),
  ];
}

function drawn({ label, number, tone }, x, y) {
  return shape(
    "g",
    { class: `plot-dot tone-${tone}` },
    shape("title", {}, label),
    shape("circle", { cx: x, cy: y, r: DOT }),
    shape("text", { x, y: y + 3.6, "text-anchor": "middle" }, String(number)),
  );
}

function shape(tag, attributes, ...children) {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}
