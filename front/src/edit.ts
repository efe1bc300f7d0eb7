// The hand on the repair itself: add and take out, tie otherwise, run elsewhere; always what is chosen on the map.
import { html } from "./draw";
import type { Held } from "./snap";
import type { Anchor, Board, Chart, Layout } from "./wire";

const BESIDE_MM = 6;
const BEYOND_MM = 8;
const KINDS = ["mattress", "simple", "knotless"];

type Give = (kind: string, payload: Record<string, unknown>) => Promise<void>;

export class EditTools {
  private chosen: Held | null = null;
  private board: Board | null = null;

  constructor(private readonly holder: HTMLElement, private readonly give: Give, private readonly focus: (held: Held) => void) {}

  choose(held: Held | null): void {
    if (!held || (held.kind === this.chosen?.kind && held.name === this.chosen.name)) return;
    this.chosen = held;
    if (this.board) this.draw(this.board);
  }

  draw(board: Board): void {
    const { layout, chart } = board;
    this.board = board;
    if (!layout || !chart) return;
    const held = this.chosen && parts(layout, this.chosen.kind).some((one) => one.name === this.chosen!.name) ? this.chosen : null;
    const at = this.holder.contains(document.activeElement) ? (document.activeElement as HTMLElement).dataset["edit"] : undefined;
    const tools = !held ? [html("span", { class: "small" }, "Choose an anchor or a hole on the map to change it.")]
      : held.kind === "anchor" ? this.anchor(layout, held.name, board.implants) : this.hole(layout, held.name);
    this.holder.replaceChildren(
      html("span", { class: "edit-row" }, ...tools),
      html("span", { class: "edit-row" },
        this.button("Add an anchor beside the joint", () => this.add(layout, chart, "medial")),
        this.button("Add a lateral anchor", () => this.add(layout, chart, "lateral"))));
    if (at) this.holder.querySelector<HTMLElement>(`[data-edit="${CSS.escape(at)}"]`)?.focus({ preventScroll: true });
  }

  /** Take out what is chosen. */
  remove(): void {
    const held = this.chosen;
    if (!held) return;
    void this.give(held.kind === "anchor" ? "remove-anchor" : "remove-limb", { name: held.name });
  }

  private anchor(layout: Layout, name: string, implants: readonly string[]): HTMLElement[] {
    const anchor = layout.anchors.find((one) => one.name === name)!;
    const own = layout.stitches.filter((s) => s.anchor === name);
    const tied = own.find((s) => s.kind === "mattress" || s.kind === "simple")?.kind ?? (own.some((s) => s.kind === "bridge") ? "knotless" : "");
    const tools = [html("b", {}, `Anchor ${name}`)];
    if (implants.includes(anchor.implant)) tools.push(this.select("implant", implants, anchor.implant, (implant) => this.give("change-implant", { anchor: name, implant })));
    if (tied) tools.push(this.select("sutures", KINDS, tied, (kind) => this.give("change-kind", { anchor: name, kind })));
    return [...tools,
      this.button("Add a simple suture", () => this.give("add-suture", { anchor: name, kind: "simple" })),
      this.button("Add a mattress suture", () => this.give("add-suture", { anchor: name, kind: "mattress" })),
      this.button("Remove", () => this.remove(), `Remove anchor ${name}`)];
  }

  private hole(layout: Layout, name: string): HTMLElement[] {
    const own = layout.stitches.filter((s) => s.holes.includes(name));
    const runs = own.find((s) => s.kind === "bridge")?.to ?? "";
    const ends = layout.anchors.filter((a) => a.row === "lateral" && a.name !== own[0]?.anchor).map((a) => a.name);
    const route = ends.length ? [this.select("runs to", ["no further", ...ends], runs || "no further", (to) => this.give("route-limb", { name, to: to === "no further" ? null : to }))] : [];
    return [html("b", {}, `Limb ${name}`), html("span", { class: "small" }, own.map((s) => (s.kind === "bridge" ? (s.knotted ? "from its knot" : "sliding") : s.kind)).join(", ")), ...route,
      this.button("Remove", () => this.remove(), `Remove limb ${name}`)];
  }

  private add(layout: Layout, chart: Chart, row: Anchor["row"]): void {
    const before = new Set(layout.anchors.map((one) => one.name));
    void this.give("add-anchor", { row, ...free(layout, chart, row) }).then(() => {
      const added = this.board?.layout?.anchors.find((one) => !before.has(one.name));
      if (added) this.focus({ kind: "anchor", name: added.name });
    });
  }

  private button(words: string, does: () => unknown, label = words): HTMLElement {
    const one = html("button", { type: "button", "aria-label": label, "data-edit": label }, words);
    one.addEventListener("click", () => void does());
    return one;
  }

  private select(words: string, options: readonly string[], now: string, does: (value: string) => Promise<void>): HTMLElement {
    const one = html("select", { "data-edit": words }, ...options.map((value) => html("option", { value, selected: value === now }, value)));
    one.addEventListener("change", () => void does(one.value));
    return html("label", {}, html("span", { class: "small" }, words), one);
  }
}

function parts(layout: Layout, kind: string): { name: string }[] {
  return kind === "anchor" ? layout.anchors : layout.holes;
}

/** Where a new anchor of a row has most room: between the two farthest neighbours, or beside the only one. */
function free(layout: Layout, chart: Chart, row: Anchor["row"]): { u: number; v: number } {
  const { front, width, edge } = chart.strip;
  const mine = layout.anchors.filter((a) => a.row === row).sort((a, b) => a.u - b.u);
  const [first, last] = [mine[0], mine[mine.length - 1]];
  const middle = front + width / 2;
  if (!first || !last) return { u: middle, v: row === "medial" ? 1 : edge + BEYOND_MM };
  if (first === last) return { u: first.u > middle ? first.u - BESIDE_MM : first.u + BESIDE_MM, v: first.v };
  let wide = 1;
  for (let i = 2; i < mine.length; i++) if (mine[i]!.u - mine[i - 1]!.u > mine[wide]!.u - mine[wide - 1]!.u) wide = i;
  return { u: (mine[wide]!.u + mine[wide - 1]!.u) / 2, v: (mine[wide]!.v + mine[wide - 1]!.v) / 2 };
}
