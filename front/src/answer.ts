// Ask a number: what stands behind it, opened beside it, never over it.
import { html, svg } from "./draw";
import { ask, type FactShown } from "./wire";

export interface Answer {
  name: string;
  title: string;
  value: string;
  meaning: string;
  formula: string;
  inputs: [string, string][];
  facts: FactShown[];
  validity: string;
  movers: [string, number][];
  moved_unit: string;
  moved_how: string;
  text: string;
}

const UNVERIFIED = new Set(["memory", "assumed"]);

export class Answers {
  private asked: string | null = null;
  private from: HTMLElement | null = null;
  private readonly home: HTMLElement | null;

  constructor(
    private readonly panel: HTMLElement,
    private readonly path: string,
    private readonly trouble: (wrong: unknown) => void,
    private readonly say: (words: string) => void,
    private readonly about?: () => unknown,
  ) {
    this.home = panel.parentElement;
    document.addEventListener("click", (event) => {
      const button = event.target instanceof Element ? event.target.closest<HTMLElement>(".ask") : null;
      const name = button?.dataset["ask"];
      if (button && name) void this.open(name, button);
    });
  }

  get isOpen(): boolean {
    return !this.panel.hidden;
  }

  /** Open what stands behind the number called ``name``, at the first place that shows it; false when none does. */
  ask(name: string): boolean {
    const button = document.querySelector<HTMLElement>(`.ask[data-ask="${CSS.escape(name)}"]`);
    if (button) void this.open(name, button);
    return button !== null;
  }

  close(): void {
    if (this.panel.hidden) return;
    this.panel.hidden = true;
    const same = this.asked ? document.querySelector<HTMLElement>(`.ask[data-ask="${CSS.escape(this.asked)}"]`) : null;
    (this.from?.isConnected ? this.from : same)?.focus();
    this.asked = null;
  }

  private async open(name: string, button: HTMLElement): Promise<void> {
    if (this.isOpen && this.asked === name) {
      this.close();
      return;
    }
    try {
      const { answer } = await ask<{ answer: Answer }>(`${this.path}/${encodeURIComponent(name)}`, this.about?.());
      this.asked = name;
      this.from = button;
      this.show(answer, button);
    } catch (wrong) {
      this.trouble(wrong);
    }
  }

  private show(answer: Answer, button: HTMLElement): void {
    const heading = html("h3", { tabindex: "-1" }, answer.title);
    const close = html("button", { type: "button", class: "close" }, "Close");
    close.addEventListener("click", () => this.close());
    const copy = html("button", { type: "button" }, "Copy as text");
    copy.addEventListener("click", () => void this.copy(answer.text));
    this.panel.replaceChildren(
      html("div", { class: "answer-head" }, heading, close),
      html("p", { class: "answer-value" }, answer.value),
      html("p", {}, answer.meaning),
      html("h4", {}, "How it is computed"), html("p", {}, answer.formula),
      ...listed("From", answer.inputs.map(([path, told]) => html("li", {}, html("b", {}, path), ` ${told}`))),
      ...movers(answer),
      ...listed("Published rows", answer.facts.map(factItem), "facts"),
      html("h4", {}, "Where it holds"), html("p", {}, answer.validity),
      html("p", {}, copy));
    this.put(button);
    this.panel.hidden = false;
    heading.focus();
    this.panel.scrollIntoView({ block: "nearest" });
  }

  /** Beside what was asked: under its block on the right, under its line in a list, else at the head of the right. */
  private put(button: HTMLElement): void {
    const section = button.closest("#right > div");
    const line = button.closest(".askable-lines > li, .askable-line, .verdict");
    if (section && section !== this.panel) section.after(this.panel);
    else if (line instanceof HTMLLIElement) line.append(this.panel);
    else if (document.getElementById("state")) document.getElementById("state")!.after(this.panel);
    else line?.after(this.panel);
  }

  /** Shut, and back where the page holds it: what it stood in is about to be replaced. */
  leave(): void {
    if (this.isOpen) this.close();
    this.home?.append(this.panel);
  }

  private async copy(text: string): Promise<void> {
    try {
      await navigator.clipboard.writeText(text);
      this.say("Copied as text.");
    } catch {
      const area = html("textarea", { class: "as-text", readonly: true, rows: 10, "aria-label": "The answer as text" });
      area.value = text;
      this.panel.append(area);
      area.select();
    }
  }
}

function factItem(fact: FactShown): HTMLElement {
  const doubtful = UNVERIFIED.has(fact.provenance);
  const range = fact.sd !== null ? `, SD ${fact.sd}` : fact.low !== null && fact.high !== null ? ` (${fact.low} to ${fact.high})` : "";
  const cited = [fact.source.citation, fact.source.year, fact.where].filter(Boolean).join(", ");
  return html("li", { class: doubtful ? "unverified" : "verified" },
    html("b", {}, `${fact.value}${fact.unit === "-" ? "" : ` ${fact.unit}`}${range}`), ` ${fact.key}. `,
    html("span", { class: "provenance" }, doubtful ? `unverified: ${fact.provenance}` : fact.provenance), ` ${cited}.`,
    fact.note ? html("span", { class: "small" }, ` ${fact.note}`) : null);
}

function listed(words: string, items: HTMLElement[], cls = ""): HTMLElement[] {
  return items.length ? [html("h4", {}, words), html("ul", { class: cls || null }, ...items)] : [];
}

/** The inputs that move it most, each with the slope of the result for what was changed in it. */
function movers(answer: Answer): HTMLElement[] {
  if (!answer.moved_how) return [];
  const most = Math.max(...answer.movers.map(([, change]) => Math.abs(change)));
  const items = answer.movers.map(([words, change]) => {
    const rise = (14 * change) / most;
    const slope = svg("svg", { class: "slope", viewBox: "0 0 40 32", width: 40, height: 32, "aria-hidden": "true" },
      svg("path", { class: "axis", d: "M4 16H36" }), svg("path", { class: "curve", d: `M4 ${16 + rise}L36 ${16 - rise}` }));
    return html("li", {}, slope, html("span", {}, `${words}: `, html("b", {}, `${change < 0 ? "−" : "+"}${Math.abs(change)} ${answer.moved_unit}`)));
  });
  return [html("h4", {}, "What moves it most"), html("p", { class: "small" }, answer.moved_how), ...(items.length ? [html("ul", { class: "movers" }, ...items)] : [])];
}
