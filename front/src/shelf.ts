// The shelf under the map: versions kept by name, up to four side by side with the repair that stands.
import { askable, refresh } from "./askable";
import { html } from "./draw";
import { change, percent } from "./numbers";
import { miniature } from "./patterns";
import { ask, Refused, type Board, type Chart, type Grade, type Hold, type Interval, type Layout, type Scenario } from "./wire";

interface Version { name: string; title: string; layout: Layout; differences: string[]; hold: Hold | null; refused: string | null; done: boolean }
type Give = (kind: string, payload: Record<string, unknown>) => Promise<void>;
interface Row { words: string; ask: string; told: (now: Scenario, hold: Hold) => string; interval?: (now: Scenario, hold: Hold) => Interval | null }

const LOOK_AGAIN_MS = 1200;
const ROOM = 4;

const ROWS: Row[] = [
  { words: "Holds, time zero, laboratory", ask: "ultimate.%", told: (s) => told(s.ultimate), interval: (s) => s.ultimate },
  { words: "Weakest at", ask: "weakest.%", told: (s) => s.weakest },
  { words: "Gap at the stated load", ask: "gap.%", told: (s) => told(s.gap, `not reached at ${s.gap_load} N`), interval: (s) => s.gap },
  { words: "Stiffness", ask: "stiffness.%", told: (s) => told(s.stiffness, "not computed"), interval: (s) => s.stiffness },
  { words: "Footprint above the threshold", ask: "contact.area", told: (_, h) => `${percent(h.contact.area_share)} at ${h.contact.threshold} MPa`, interval: (_, h) => inPercent(h) },
];

export class Shelf {
  private board: Board | null = null;
  private hold: Hold | null = null;
  private tissue: Grade | null = null;
  private versions: Version[] = [];
  private again = 0;

  constructor(private readonly holder: HTMLElement, private readonly path: string, private readonly give: Give) {}

  /** A board stands, with its settled answer when there is one; versions are looked at once it has settled. */
  stands(board: Board, hold: Hold | null, tissue: Grade | null): void {
    this.board = board;
    this.hold = hold;
    this.tissue = tissue;
    this.versions = this.versions.filter((one) => board.shelf.some((kept) => kept.name === one.name));
    this.draw();
    window.clearTimeout(this.again);
    if (board.shelf.length && hold) void this.look();
  }

  show(tissue: Grade): void {
    this.tissue = tissue;
    this.draw();
  }

  private async look(): Promise<void> {
    const seq = this.board?.seq;
    try {
      const answer = await ask<{ seq: number; versions: Version[] }>(`${this.path}/versions`);
      if (seq !== this.board?.seq) return;
      this.versions = answer.versions;
      this.draw();
      if (this.versions.some((one) => !one.done)) this.again = window.setTimeout(() => void this.look(), LOOK_AGAIN_MS);
    } catch (wrong) {
      if (!(wrong instanceof Refused)) return;
      this.holder.querySelector(".shelf-told")?.replaceChildren(wrong.message);
    }
  }

  private draw(): void {
    const { board } = this;
    if (!board?.layout) {
      this.holder.replaceChildren();
      return;
    }
    const typed = this.holder.querySelector<HTMLInputElement>("input")?.value;
    refresh(this.holder, html("h2", {}, "Versions"), this.keeping(board, typed), ...(board.shelf.length ? [this.compared(board)] : []));
  }

  private keeping(board: Board, typed: string | undefined): HTMLElement {
    if (board.shelf.length >= ROOM) return html("p", { class: "note" }, `The shelf holds ${ROOM} versions, as many as can be compared.`);
    const letters = [..."ABCDEFGH"].map((letter) => `Version ${letter}`);
    const name = html("input", { type: "text", id: "version-name", maxlength: 40, "data-ask": "version-name", value: typed ?? "" , placeholder: letters.find((one) => !board.shelf.some((kept) => kept.name === one)) ?? "" });
    const keep = html("button", { type: "submit", "data-ask": "version-keep" }, "Keep what stands");
    const form = html("form", { class: "keeping" }, html("label", { for: "version-name", class: "small" }, "Name of the version"), name, keep, html("span", { class: "small shelf-told" }, "Kept versions are compared with what stands."));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const wanted = name.value.trim() || name.placeholder;
      name.value = "";
      void this.give("keep-version", { name: wanted });
    });
    return form;
  }

  private compared(board: Board): HTMLElement {
    const shown = board.shelf.map((kept) => this.versions.find((one) => one.name === kept.name) ?? { ...kept, title: "", differences: [], hold: null, refused: null, done: false });
    const own = this.hold && this.scenario(this.hold);
    const heads = shown.map((one) => html("th", { scope: "col" }, this.head(one, board.chart)));
    const differ = html("tr", {}, html("th", { scope: "row" }, "Differs by"), html("td", {}, ""),
      ...shown.map((one) => html("td", {}, one.refused ? html("span", { class: "wrong" }, `Not computed: ${one.refused}`) : one.done || one.differences.length ? one.differences.join("; ") || "nothing" : "")));
    const rows = ROWS.map((row) => html("tr", {}, html("th", { scope: "row" }, row.words), html("td", {}, own && this.hold ? asked(row, own, this.hold, "") : "settling"),
      ...shown.map((one, at) => this.cell(row, one, own, at))));
    return html("div", { class: "compare", tabindex: "0", role: "region", "aria-label": "Versions compared" }, html("table", {},
      html("caption", {}, `${own?.tissue ?? this.tissue ?? ""} tissue; each against what stands`),
      html("thead", {}, html("tr", {}, html("td", {}), html("th", { scope: "col" }, "Stands", board.layout && board.chart ? miniature(board.layout, board.chart) : null), ...heads)),
      html("tbody", {}, differ, ...rows)));
  }

  private head(one: Version, chart: Chart | null): HTMLElement {
    const button = (words: string, kind: string): HTMLElement => {
      const made = html("button", { type: "button", "data-ask": `${kind} ${one.name}`, "aria-label": `${words} ${one.name}` }, words);
      made.addEventListener("click", () => void this.give(kind, { name: one.name }));
      return made;
    };
    return html("div", { class: "version-head" }, one.name, chart ? miniature(one.layout, chart) : null, html("span", { class: "version-does" }, button("Take", "take-version"), button("Off", "drop-version")));
  }

  private cell(row: Row, one: Version, own: Scenario | null, at: number): HTMLElement {
    const theirs = one.hold && this.scenario(one.hold);
    if (!theirs || !one.hold) return html("td", {}, one.refused ? "" : "settling");
    const [a, b] = [row.interval?.(theirs, one.hold) ?? null, own && this.hold ? row.interval?.(own, this.hold) ?? null : null];
    return html("td", {}, asked(row, theirs, one.hold, `version.${at + 1}.`), a && b ? html("span", { class: "change" }, change(a, b)) : null);
  }

  private scenario(hold: Hold): Scenario {
    return hold.scenarios.find((s) => s.tissue === this.tissue) ?? hold.scenarios[Math.floor(hold.scenarios.length / 2)]!;
  }
}

function told(found: Interval | null, without = ""): string {
  return found ? `${found.middle} ${found.unit} (${found.low} to ${found.high})` : without;
}

/** The cell's words, to be asked; what was not computed is only said. */
function asked(row: Row, scenario: Scenario, hold: Hold, of: string): Node | string {
  const words = row.told(scenario, hold);
  return row.interval && !row.interval(scenario, hold) ? words : askable(of + row.ask.replace("%", scenario.tissue), words);
}

function inPercent(hold: Hold): Interval | null {
  const doubt = hold.contact.area_interval;
  return doubt && { middle: hold.contact.area_share * 100, low: doubt.low * 100, high: doubt.high * 100, unit: "%", share: doubt.share };
}
