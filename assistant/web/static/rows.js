// A list that is typed a line at a time: pours, garnishes. Beside each line stands how it is read; under the one that is
// being typed, amounts and names to press. Enter makes the next line, Backspace in an empty one takes it out.

import { make } from "./elements.js";

const AMOUNTS = ["1/4 oz", "1/2 oz", "3/4 oz", "1 oz", "1 1/2 oz", "2 oz", "1 dash", "1 barspoon"];
const AMOUNT = /^\s*[\d\s/.,]+(?:(?:oz|ml|cl|l|g|kg|tsp|tbsp|dash(?:es)?|drops?|barspoons?|leaf|leaves|pieces?|pinch(?:es)?|wedges?|cubes?|bottles?)\b)?\s*/;
const MOST = 6; // names offered at a time

export class Rows {
  constructor(field, names, changed) {
    this.field = field;
    this.name = field.dataset.rows;
    this.isMeasured = "measured" in field.dataset;
    this.names = names;
    this.changed = changed;
    this.list = field.querySelector("ol");
    this.offers = make("div", { is: "offers", role: "group", "aria-label": "To press instead of typing" });
    const add = make("button", { is: "quiet add", type: "button" }, field.dataset.add);
    add.addEventListener("click", () => this.add("").focus());
    this.list.after(add);
    for (const value of JSON.parse(field.dataset.values)) this.add(value);
    if (!this.list.children.length) this.add("");
    this.count();
  }

  get values() {
    return this.inputs.map((input) => input.value.trim()).filter((value) => value);
  }

  get inputs() {
    return [...this.list.querySelectorAll("input")];
  }

  add(value, after = null) {
    const read = make("output", { is: "read", id: `read-${crypto.getRandomValues(new Uint32Array(1))[0]}` });
    const input = make("input", { autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "next", "aria-describedby": read.id });
    const remove = make("button", { is: "quiet remove", type: "button" }, "Remove");
    const row = make("li", {}, make("div", { is: "line" }, input, remove), read);
    input.value = value;
    input.addEventListener("input", () => { this.offer(input); this.changed(this.name); });
    input.addEventListener("focus", () => this.offer(input));
    input.addEventListener("keydown", (event) => this.key(event, row, input));
    remove.addEventListener("click", () => this.remove(row));
    if (after) after.after(row);
    else this.list.append(row);
    this.count();
    return input;
  }

  remove(row) {
    const next = (row.previousElementSibling ?? row.nextElementSibling)?.querySelector("input");
    if (row.contains(this.offers)) this.offers.remove();
    row.remove();
    (next ?? this.add("")).focus();
    this.count();
    this.changed(this.name);
  }

  key(event, row, input) {
    if (event.key === "Enter") {
      event.preventDefault();
      if (input.value.trim()) this.add("", row).focus();
    }
    if (event.key === "Backspace" && !input.value && this.inputs.length > 1) {
      event.preventDefault();
      this.remove(row);
    }
  }

  count() {
    this.inputs.forEach((input, index) => {
      const label = `${this.field.dataset.label}, line ${index + 1}`;
      input.setAttribute("aria-label", label);
      input.closest("li").querySelector(".remove").setAttribute("aria-label", `Remove ${label}`);
    });
  }

  /** Amounts and names for the line that is being typed. */
  offer(input) {
    const typed = input.value;
    const amount = typed.match(AMOUNT)?.[0] ?? "";
    const hasAmount = Boolean(amount.trim());
    const buttons = [];
    if (this.isMeasured && !typed.slice(amount.length).trim()) buttons.push(...AMOUNTS.map((text) => [text, `${text} `]));
    if (!this.isMeasured || hasAmount) {
      const wanted = typed.slice(amount.length).toLowerCase();
      const term = wanted.split(/,| as /)[0].trim();
      const fits = this.names.filter((name) => term && name !== term && term.split(/\s+/).every((word) => name.toLowerCase().includes(word)));
      const first = (name) => (name.toLowerCase().startsWith(term) ? 0 : 1);
      fits.sort((one, other) => first(one) - first(other));
      if (!this.names.includes(term)) buttons.push(...fits.slice(0, MOST).map((name) => [name, `${amount.trimEnd()} ${name}`.trim()]));
    }
    this.offers.replaceChildren(...buttons.map(([label, text]) => this.offered(label, text, input)));
    if (buttons.length) input.closest("li").append(this.offers);
    else this.offers.remove();
  }

  offered(label, text, input) {
    const button = make("button", { is: "offer", type: "button" }, label);
    button.addEventListener("click", () => this.take(input, text));
    return button;
  }

  take(input, text) {
    input.value = text;
    input.focus();
    this.offer(input);
    this.changed(this.name);
  }

  /** Puts beside each line how it is read; lines that hold nothing are passed over. */
  show(read) {
    const lines = this.inputs.filter((input) => input.value.trim());
    for (const input of this.inputs) {
      const said = read[lines.indexOf(input)];
      const output = input.closest("li").querySelector("output");
      const isWrong = Boolean(said) && !said.is_read;
      const instead = said?.instead ? make("button", { is: "offer", type: "button" }, `Write ${said.instead}`) : "";
      if (instead) instead.addEventListener("click", () => this.take(input, said.instead));
      output.className = isWrong ? "read mend" : "read";
      if (output.dataset.said !== (said?.said ?? "")) {
        output.dataset.said = said?.said ?? "";
        output.replaceChildren(said?.said ?? "", instead);
      }
      input.setAttribute("aria-invalid", String(isWrong));
    }
  }
}
