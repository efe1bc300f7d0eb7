// The "/" box: one line that finds a place, a measure, a limb, a number, a fact, a help page; "?" shows the keys.
import { html } from "./draw";
import { ask } from "./wire";

interface Found { kind: string; title: string; words: string; href: string }

const WAIT_MS = 90;

export function openFindBox(key: string | undefined): void {
  new FindBox(key);
}

class FindBox {
  private readonly box: HTMLElement;
  private readonly field = html("input", { id: "find-field", type: "text", role: "combobox", "aria-expanded": "false", "aria-controls": "find-list", "aria-autocomplete": "list", autocomplete: "off", maxlength: 80, placeholder: "a place, a measure, a limb, a number, a fact" });
  private readonly list = html("ul", { id: "find-list", role: "listbox", "aria-label": "Found" });
  private readonly said = html("p", { class: "small", role: "status" });
  private readonly keys = html("aside", { class: "keys", hidden: true, tabindex: "-1", "aria-label": "Keys" });
  private options: HTMLAnchorElement[] = [];
  private at = -1;
  private from: Element | null = null;
  private waiting = 0;
  private round = 0;

  constructor(private readonly key: string | undefined) {
    const opener = html("button", { type: "button", class: "find-open", "aria-keyshortcuts": "/" }, "Find ", html("kbd", {}, "/"));
    opener.addEventListener("click", () => this.open());
    document.querySelector(".head .teaching")?.before(opener);
    this.box = html("div", { class: "find", role: "search", hidden: true }, html("label", { for: "find-field" }, "Find"), this.field, this.list, this.said);
    document.querySelector(".head")?.after(this.box, this.keys);
    this.field.addEventListener("input", () => this.typed());
    this.field.addEventListener("keydown", (event) => this.walk(event));
    document.addEventListener("keydown", (event) => this.press(event));
    document.addEventListener("pointerdown", (event) => {
      if (event.target instanceof Node && !this.box.contains(event.target) && !opener.contains(event.target)) this.close(false);
    });
  }

  private press(event: KeyboardEvent): void {
    if (event.key === "Escape" && !(this.box.hidden && this.keys.hidden)) {
      event.stopImmediatePropagation();
      this.close(true);
      return;
    }
    const typing = event.target instanceof Element && event.target.closest("input:not([type=checkbox], [type=radio], [type=range]), textarea, select");
    if (typing || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "/") this.open();
    else if (event.key === "?") void this.showKeys();
    else return;
    event.preventDefault();
  }

  private open(): void {
    this.from = document.activeElement;
    this.keys.hidden = true;
    this.box.hidden = false;
    this.field.value = "";
    this.show([], 0);
    this.field.focus();
  }

  private close(back: boolean): void {
    this.box.hidden = true;
    this.keys.hidden = true;
    if (back && this.from instanceof HTMLElement || this.from instanceof SVGElement) (this.from as HTMLElement).focus({ preventScroll: true });
    this.from = null;
  }

  private typed(): void {
    window.clearTimeout(this.waiting);
    this.waiting = window.setTimeout(() => void this.look(), WAIT_MS);
  }

  private async look(): Promise<void> {
    const round = ++this.round;
    const words = this.field.value.trim();
    const about = this.key ? `&case=${encodeURIComponent(this.key)}` : "";
    try {
      const answer = await ask<{ found: Found[]; more: number }>(`/api/find?q=${encodeURIComponent(words)}${about}`);
      if (round === this.round) this.show(answer.found, answer.more, words);
    } catch (wrong) {
      this.said.textContent = wrong instanceof Error ? wrong.message : "";
    }
  }

  private show(found: readonly Found[], more: number, words = ""): void {
    this.options = found.map((one, i) => html("a", { id: `find-${i}`, role: "option", href: one.href, tabindex: "-1", "aria-selected": "false" },
      html("span", { class: "find-kind" }, one.kind), html("b", {}, one.title), html("span", { class: "find-words" }, one.words)));
    for (const one of this.options) one.addEventListener("click", () => this.close(false));
    this.list.replaceChildren(...this.options.map((one) => html("li", { role: "presentation" }, one)));
    this.field.setAttribute("aria-expanded", String(found.length > 0));
    this.said.textContent = !words ? "" : !found.length ? "Nothing holds all these words." : more ? `${more} more; one more word narrows them.` : "";
    this.choose(found.length ? 0 : -1);
  }

  private choose(at: number): void {
    this.options.forEach((one, i) => one.setAttribute("aria-selected", String(i === at)));
    this.at = at;
    if (at < 0) this.field.removeAttribute("aria-activedescendant");
    else this.field.setAttribute("aria-activedescendant", `find-${at}`);
    this.options[at]?.scrollIntoView({ block: "nearest" });
  }

  private walk(event: KeyboardEvent): void {
    const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
    if (step && this.options.length) this.choose((this.at + step + this.options.length) % this.options.length);
    else if (event.key === "Enter") this.options[this.at]?.click();
    else return;
    event.preventDefault();
  }

  /** The page of help on keys, beside what is being done. */
  private async showKeys(): Promise<void> {
    if (!this.keys.hidden) {
      this.close(true);
      return;
    }
    this.from = document.activeElement;
    const close = html("button", { type: "button" }, "Close");
    close.addEventListener("click", () => this.close(true));
    try {
      const text = await (await fetch("/help/keys")).text();
      const paper = new DOMParser().parseFromString(text, "text/html").querySelector("#paper");
      this.keys.replaceChildren(close, ...(paper ? [...paper.children] : ["The keys stand in docs/keys.md."]));
    } catch {
      this.keys.replaceChildren(close, "The server does not answer.");
    }
    this.keys.hidden = false;
    this.keys.focus();
  }
}
