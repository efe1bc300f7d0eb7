// The shelf under the map: versions kept by name, up to four side by side with the repair that stands.
import { askable, refresh } from "./askable";
import { html } from "./draw";
import { change, percent } from "./numbers";
import { miniature } from "./patterns";
import { ask, Refused, type Board, type Chart, type Grade, type Hold, type Interval, type Layout, type Scenario } from "./wire";

interface Version { name: string; title: string; layout: Layout; differences: string[]; hold: Hold | null; refused: string | null; done: boolean }
type Give = (kind: string, payload: Record<string, unknown>) => Promise<void>;
interface Row { words: string; ask: string; told: (now: Scenario, hold: Hold) => string; interval?: (now: Scenario, hold: Hold) => Interval | null }

interface Base { hold: Hold; scenario: Scenario }

/** What a dragged version is called while it is carried: nothing else that is dropped is taken for one. */
const KIND = "text/x-version";
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
  private against: string | null = null;
  private laid: string | null = null;

  constructor(private readonly holder: HTMLElement, private readonly path: string, private readonly give: Give, private readonly say: (words: string) => void) {}

  /** A board stands, with its settled answer when there is one; versions are looked at once it has settled. */
  stands(board: Board, hold: Hold | null, tissue: Grade | null): void {
    this.board = board;
    this.hold = hold;
    this.tissue = tissue;
    this.versions = this.versions.filter((one) => board.shelf.some((kept) => kept.name === one.name));
    if (!board.shelf.some((kept) => kept.name === this.against)) this.against = null;
    if (!board.shelf.some((kept) => kept.name === this.laid)) this.laid = null;
    this.draw();
    window.clearTimeout(this.again);
    if (board.shelf.length && hold) void this.look();
  }

  show(tissue: Grade): void {
    this.tissue = tissue;
    this.draw();
  }

  /** Compare all with the version of a name, or with what stands; ``laid`` is the one that was laid on it. */
  private compare(against: string | null, laid: string | null): void {
    if (laid !== null && laid === against) return;
    [this.against, this.laid] = [against, laid];
    this.say(`${laid ?? "Versions"} compared with ${against ?? "what stands"}.`);
    this.draw();
    window.clearTimeout(this.again);
    void this.look();
  }

  private async look(): Promise<void> {
    const [seq, against] = [this.board?.seq, this.against];
    try {
      const answer = await ask<{ seq: number; versions: Version[] }>(`${this.path}/versions${against === null ? "" : `?against=${encodeURIComponent(against)}`}`);
      if (seq !== this.board?.seq || against !== this.against) return;
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
    const form = html("form", { class: "keeping" }, html("label", { for: "version-name", class: "small" }, "Name of the version"), name, keep, html("span", { class: "small shelf-told" }, "Drag a version onto another, or onto what stands, to compare them."));
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
    const other = this.against === null ? this.hold : shown.find((one) => one.name === this.against)?.hold ?? null;
    const base = other && { hold: other, scenario: this.scenario(other) };
    const mark = (name: string | null): string | null => (name === this.against ? "against" : name === this.laid ? "laid" : null);
    const heads = shown.map((one) => this.column(one.name, mark(one.name), this.head(one, board.chart)));
    const differ = html("tr", {}, html("th", { scope: "row" }, "Differs by"), html("td", { class: mark(null) }, ""),
      ...shown.map((one) => html("td", { class: mark(one.name) }, one.name === this.against ? "" : one.refused ? html("span", { class: "wrong" }, `Not computed: ${one.refused}`) : one.done || one.differences.length ? one.differences.join("; ") || "nothing" : "")));
    const rows = ROWS.map((row) => html("tr", {}, html("th", { scope: "row" }, row.words), html("td", { class: mark(null) }, own && this.hold ? asked(row, own, this.hold, "") : "settling", own && this.hold && this.against !== null ? changed(row, own, this.hold, base) : null),
      ...shown.map((one, at) => this.cell(row, one, one.name === this.against ? null : base, at, mark(one.name)))));
    return html("div", { class: "compare", tabindex: "0", role: "region", "aria-label": "Versions compared" }, html("table", {},
      html("caption", {}, `${own?.tissue ?? this.tissue ?? ""} tissue; each against ${this.against ?? "what stands"}`),
      html("thead", {}, html("tr", {}, html("td", {}), this.column(null, mark(null), this.stood(board)), ...heads)),
      html("tbody", {}, differ, ...rows)));
  }

  /** A head that can be dragged onto another one; ``null`` is what stands, which others are laid on. */
  private column(name: string | null, mark: string | null, inside: HTMLElement): HTMLElement {
    const head = html("th", { scope: "col", class: mark, draggable: name === null ? null : "true", "data-version": name ?? "" }, inside);
    head.addEventListener("dragstart", (event) => event.dataTransfer?.setData(KIND, name ?? ""));
    head.addEventListener("dragover", (event) => {
      if (!event.dataTransfer?.types.includes(KIND)) return;
      event.preventDefault();
      head.classList.add("over");
    });
    head.addEventListener("dragleave", () => head.classList.remove("over"));
    head.addEventListener("drop", (event) => {
      event.preventDefault();
      head.classList.remove("over");
      this.compare(name, event.dataTransfer?.getData(KIND) || null);
    });
    return head;
  }

  private stood(board: Board): HTMLElement {
    return html("div", { class: "version-head" }, "Stands", board.layout && board.chart ? miniature(board.layout, board.chart) : null, html("span", { class: "version-does" }, this.measure(null)));
  }

  /** Without a hand to drag: compare all with this one. */
  private measure(name: string | null): HTMLElement {
    const made = html("button", { type: "button", "data-ask": `against ${name ?? ""}`, "aria-pressed": String(this.against === name), "aria-label": `Against ${name ?? "what stands"}` }, "Against");
    made.addEventListener("click", () => this.compare(name, null));
    return made;
  }

  private head(one: Version, chart: Chart | null): HTMLElement {
    const button = (words: string, kind: string): HTMLElement => {
      const made = html("button", { type: "button", "data-ask": `${kind} ${one.name}`, "aria-label": `${words} ${one.name}` }, words);
      made.addEventListener("click", () => void this.give(kind, { name: one.name }));
      return made;
    };
    return html("div", { class: "version-head" }, one.name, chart ? miniature(one.layout, chart) : null, html("span", { class: "version-does" }, button("Take", "take-version"), button("Off", "drop-version"), this.measure(one.name)));
  }

  private cell(row: Row, one: Version, base: Base | null, at: number, mark: string | null): HTMLElement {
    const theirs = one.hold && this.scenario(one.hold);
    if (!theirs || !one.hold) return html("td", { class: mark }, one.refused ? "" : "settling");
    return html("td", { class: mark }, asked(row, theirs, one.hold, `version.${at + 1}.`), changed(row, theirs, one.hold, base));
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

/** The change against what it is compared with, where both were computed. */
function changed(row: Row, scenario: Scenario, hold: Hold, base: Base | null): HTMLElement | null {
  const [a, b] = [row.interval?.(scenario, hold) ?? null, base && (row.interval?.(base.scenario, base.hold) ?? null)];
  return a && b ? html("span", { class: "change" }, change(a, b)) : null;
}

function inPercent(hold: Hold): Interval | null {
  const doubt = hold.contact.area_interval;
  return doubt && { middle: hold.contact.area_share * 100, low: doubt.low * 100, high: doubt.high * 100, unit: "%", share: doubt.share };
}
