// Makes elements. Text is always set as text, never read as markup.

/** An element with classes, attributes and children (elements or text); empty children are left out. */
export function make(tag, { is = "", ...attributes } = {}, ...children) {
  const element = document.createElement(tag);
  if (is) element.className = is;
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== undefined && value !== false) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.filter((child) => child !== "" && child != null));
  return element;
}
