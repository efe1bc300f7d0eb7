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
  text: string;
}

const UNVERIFIED = new Set(["memory", "assumed"]);

export class Answers {
  private asked: string | null = null;
  private from: HTMLElement | null = null;

  constructor(
    private readonly panel: HTMLElement,
    private readonly path: string,
    private readonly trouble: (wrong: unknown) => void,
    private readonly say: (words: string) => void,
    private readonly about?: () => unknown,
  ) {
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
      html("h4", {}, "From"), html("ul", {}, ...answer.inputs.map(([path, told]) => html("li", {}, html("b", {}, path), ` ${told}`))),
      ...movers(answer.movers),
      html("h4", {}, "Published rows"), html("ul", { class: "facts" }, ...answer.facts.map(factItem)),
      html("h4", {}, "Where it holds"), html("p", {}, answer.validity),
      html("p", {}, copy));
    const section = button.closest("#right > div");
    const right = this.panel.parentElement;
    if (section && section !== this.panel) section.after(this.panel);
    else if (right) document.getElementById("state")?.after(this.panel);
    this.panel.hidden = false;
    heading.focus();
    this.panel.scrollIntoView({ block: "nearest" });
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

/** The inputs that move it most, each with the slope of the result for a rise of a tenth. */
function movers(moved: readonly [string, number][]): HTMLElement[] {
  if (!moved.length) return [];
  const most = Math.max(1, ...moved.map(([, change]) => Math.abs(change)));
  const items = moved.map(([words, change]) => {
    const rise = (14 * change) / most;
    const slope = svg("svg", { class: "slope", viewBox: "0 0 40 32", width: 40, height: 32, "aria-hidden": "true" },
      svg("path", { class: "axis", d: "M4 16H36" }), svg("path", { class: "curve", d: `M4 ${16 + rise}L36 ${16 - rise}` }));
    return html("li", {}, slope, html("span", {}, `${words}, 10 % more: `, html("b", {}, `${change < 0 ? "−" : "+"}${Math.abs(change)} N`)));
  });
  return [html("h4", {}, "What moves it most, without scatter"), html("ul", { class: "movers" }, ...items)];
}
