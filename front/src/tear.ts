// The tear: measures as sentences with their forms, and its outline on the map under the hand.
import { Answers } from "./answer";
import { html, place } from "./draw";
import { Hand, type Gestures } from "./hand";
import { drawHistory } from "./history";
import { RepairMap } from "./map";
import { lookAt } from "./mapview";
import { mm } from "./numbers";
import { drawOlder } from "./older";
import type { Held, Spot } from "./snap";
import { Table } from "./table";
import { drawTendon } from "./tendon";
import { drawTerrain } from "./terrain";
import { moved, spoken, spotOf, TearHandles, type Outline } from "./tearhandles";
import type { Board, Chart, Measured } from "./wire";

const HINT = "Drag an edge of the tear; or click it, then its place; or Tab to it and use the arrows (0.5 mm, Shift 2 mm). Escape takes it back.";
const SWAPPED = ["verdict", "measures", "theatre", "judgement"];
const TRACE = "set by hand on the map";
const ROOM_MM = 6;
const LEAST_MEDIAL_MM = 8;
const PATCH_MM = 3;

export class Tear implements Gestures {
  private readonly table: Table;
  private map: RepairMap | null = null;
  private hand: Hand | null = null;
  private handles: TearHandles | null = null;
  private outline: Outline | null = null;
  private seq: number | null = null;
  private readonly answers: Answers;

  constructor(key: string) {
    this.table = new Table(`/api/cases/${key}`, {
      stands: (board, why) => this.stands(board, why),
      refused: (sentence) => this.trouble(sentence),
      silent: (sentence) => this.trouble(sentence),
    });
    this.answers = new Answers(place("answer"), `/api/cases/${key}/tear/ask`, (wrong) => this.table.trouble(wrong), (words) => { place("said").textContent = words; });
    place("undo").addEventListener("click", () => void this.table.give("undo"));
    place("redo").addEventListener("click", () => void this.table.give("redo"));
    document.addEventListener("keydown", (event) => this.key(event));
    document.addEventListener("submit", (event) => this.submit(event));
    new ResizeObserver(() => this.fit()).observe(place("map"));
    void this.table.read();
  }

  private stands(board: Board, why: string | null): void {
    this.trouble(why ?? board.refused);
    drawHistory(board);
    drawOlder(board.older, (name) => void this.table.give("choose-pattern", { name }));
    if (this.seq !== null && this.seq !== board.seq) void this.swap(window.location.pathname);
    this.seq = board.seq;
    if (!board.chart) return;
    this.outline = outlineOf(board.chart);
    this.unfold(board.chart);
    this.tools();
    this.fit();
  }

  private unfold(chart: Chart): void {
    const medial = Math.max(LEAST_MEDIAL_MM, (chart.retraction ?? 0) - chart.strip.edge + ROOM_MM);
    if (this.map) {
      this.map.chart = chart;
      this.map.medial = medial;
      return;
    }
    const map = new RepairMap(place("map"), chart, medial);
    map.root.classList.add("tear-map");
    this.hand = new Hand(map, this);
    this.handles = new TearHandles(map, this.hand, (corner) => this.corners(this.outline!.missing.filter((_, i) => i !== corner)));
    this.map = map;
    place("map").before(lookAt(map, place("map"), () => this.fit()));
    place("hand").textContent = HINT;
  }

  // Gestures

  start(held: Held): Spot {
    return spotOf(held, this.outline!, this.map!.chart.strip.edge);
  }

  moving(held: Held, spot: Spot, snap: boolean): Spot {
    const { edge } = this.map!.chart.strip;
    const used = snap ? { u: Math.round(spot.u * 2) / 2, v: Math.round(spot.v * 2) / 2 } : spot;
    this.outline = moved(held, used, this.outline!, edge);
    this.draw();
    place("hand").textContent = said(this.outline);
    return spotOf(held, this.outline, edge);
  }

  placed(held: Held): void {
    const { outline } = this;
    if (!outline) return;
    if (held.kind === "corner") {
      this.corners(outline.missing);
      return;
    }
    const tear = this.table.board?.tear;
    const values: Record<string, Measured> = {};
    const set = (path: string, value: number, old: Measured | undefined): void => {
      const now = Math.round(value * 10) / 10;
      if (now !== old?.value) values[path] = { value: now, sd: old?.sd ?? 0, origin: "typed", trace: TRACE };
    };
    if (held.name !== "edge") {
      if (held.name === "front") set("tear.front_mm", outline.front, tear?.front_mm);
      set("tear.width_mm", outline.width, tear?.width_mm);
    } else if (outline.retraction !== null) set("tear.retraction_mm", outline.retraction, tear?.retraction_mm);
    if (Object.keys(values).length) void this.table.give("set-measures", { values }).then(() => this.focus(held.name));
  }

  dropped(held: Held): void {
    place("hand").textContent = `${spoken(held)} put back.`;
    if (this.table.board) this.stands(this.table.board, null);
  }

  picked(held: Held | null): void {
    this.handles?.pick(held);
    place("map").classList.toggle("placing", held !== null);
    place("hand").textContent = held ? `${spoken(held)} picked: click its new place, or Escape.` : HINT;
  }

  private corners(missing: [number, number][]): void {
    const kept = missing.length < 3 ? [] : missing.map(([u, v]) => [Math.round(u * 10) / 10, Math.round(v * 10) / 10]);
    void this.table.give("set-measures", { values: { "tear.missing_tissue": kept } });
  }

  private focus(name: string): void {
    this.map?.layer.hand.querySelector<SVGGElement>(`[data-name="${name}"]`)?.focus({ preventScroll: true });
  }

  /** The buttons of the drawn outline. */
  private tools(): void {
    const { front, width, missing } = this.outline!;
    const { edge } = this.map!.chart.strip;
    const button = (words: string, does: () => void): HTMLElement => {
      const one = html("button", { type: "button" }, words);
      one.addEventListener("click", does);
      return one;
    };
    const middle = front + width / 2;
    place("outline").replaceChildren(...(missing.length
      ? [html("span", {}, "Missing tissue: drag its corners, Delete takes one away."), button("One more corner", () => this.corners(divided(missing))), button("No missing tissue", () => this.corners([]))]
      : [button("Draw missing tissue", () => this.corners([[middle - PATCH_MM, edge], [middle + PATCH_MM, edge], [middle, edge - 2 * PATCH_MM]])), html("span", { class: "small" }, "Where there is no tendon even when the edge is brought over.")]));
  }

  // Forms and keys

  private submit(event: SubmitEvent): void {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.dataset["path"]) return;
    event.preventDefault();
    const sent = new URLSearchParams([...new FormData(form)].map(([name, value]) => [name, String(value)]));
    void this.swap(form.action, { method: "POST", body: sent }).then(() => this.table.read()).then(() => document.getElementById(form.dataset["path"]!)?.querySelector("summary")?.focus());
  }

  /** Put the server's new sentences in place of the old ones. */
  private async swap(address: string, request: RequestInit = {}): Promise<void> {
    try {
      const answer = await fetch(address, request);
      if (!answer.ok) throw new Error(((await answer.json()) as { error: string }).error);
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
      this.answers.leave();
      const now = fresh.querySelector<HTMLInputElement>("input[name=expected]");
      if (now) this.seq = Number(now.value);
      for (const one of [...SWAPPED.map((id) => `#${id}`), ".thread", ".who"]) {
        const [old, young] = [document.querySelector(one), fresh.querySelector(one)];
        if (!old || !young) continue;
        const open = [...old.querySelectorAll("details.findings")].some((d) => (d as HTMLDetailsElement).open);
        old.replaceWith(young);
        if (open) young.querySelector("details.findings")?.setAttribute("open", "");
      }
      this.trouble(null);
    } catch (wrong) {
      this.trouble(wrong instanceof TypeError ? "The server does not answer, so nothing was written." : (wrong as Error).message);
    }
  }

  private key(event: KeyboardEvent): void {
    if (event.key === "Escape" && !this.hand?.cancel()) this.answers.close();
    const typing = event.target instanceof Element && event.target.closest("textarea, input, select");
    if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
    event.preventDefault();
    this.hand?.cancel();
    void this.table.give(event.shiftKey ? "redo" : "undo");
  }

  private fit(): void {
    const holder = place("map");
    if (!this.map?.fit(holder.clientWidth, holder.clientHeight)) return;
    drawTerrain(this.map);
    this.draw();
  }

  private draw(): void {
    if (!this.map || !this.outline) return;
    const { front, width, retraction } = this.outline;
    const { chart } = this.map;
    this.map.chart = { ...chart, strip: { ...chart.strip, front, width }, retraction };
    drawTendon(this.map, null, false);
    this.handles?.draw(this.outline);
  }

  private trouble(sentence: string | null): void {
    place("trouble").textContent = sentence ?? "";
  }
}

function outlineOf(chart: Chart): Outline {
  return { front: chart.strip.front, width: chart.strip.width, retraction: chart.retraction, missing: chart.missing };
}

function said(outline: Outline): string {
  const back = outline.retraction === null ? "retraction not measured" : `${mm(outline.retraction)} retracted`;
  return `Tear ${mm(outline.width)} wide, its front edge ${mm(outline.front)} behind the front of the footprint, ${back}.`;
}

/** The outline with a new corner in the middle of its longest side. */
function divided(corners: readonly [number, number][]): [number, number][] {
  const long = (i: number): number => Math.hypot(...[0, 1].map((axis) => corners[i]![axis as 0 | 1] - corners[(i + 1) % corners.length]![axis as 0 | 1]));
  const at = corners.reduce((best, _, i) => (long(i) > long(best) ? i : best), 0);
  const [a, b] = [corners[at]!, corners[(at + 1) % corners.length]!];
  return [...corners.slice(0, at + 1), [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], ...corners.slice(at + 1)] as [number, number][];
}
