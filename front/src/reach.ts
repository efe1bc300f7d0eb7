// Reach on the repair map: from which portal, with the arm how, each site is reached, as Access has it.
import { askable, refresh } from "./askable";
import { html, svg } from "./draw";
import type { Pose } from "./accesswire";
import type { RepairMap } from "./map";
import { ask, Refused, type Layout } from "./wire";

interface Site { site: string; kind: "medial anchor" | "hole" | "lateral anchor"; answer: "yes" | "moved" | "no"; portal: string; pose: Pose; words: string }

const LETTER = { yes: "Y", moved: "M", no: "N" } as const;
const WORD = { yes: "yes", moved: "arm moved", no: "no" } as const;
const [MARK_PX, BELOW_PX, LABEL_PX, LINE_PX, LETTER_PX, RIM_PX] = [25, 34, 40, 15, 7.1, 30];

export class ReachLayer {
  private sites: Site[] = [];
  private standing = "";
  private refused = "";
  private seq: number | null = null;
  private round = 0;

  constructor(private readonly holder: HTMLElement, private readonly path: string, private readonly redraw: () => void) {}

  /** Read what stands after event ``seq``, once, when the layer is shown. */
  async read(seq: number): Promise<void> {
    if (this.seq === seq) return;
    this.seq = seq;
    const round = ++this.round;
    try {
      const found = await ask<{ standing: string; sites: Site[] }>(`${this.path}/reach`);
      if (round !== this.round) return;
      [this.sites, this.standing, this.refused] = [found.sites, found.standing, ""];
    } catch (wrong) {
      if (round !== this.round) return;
      if (!(wrong instanceof Refused)) this.seq = null;
      [this.sites, this.refused] = [[], wrong instanceof Error ? wrong.message : ""];
    }
    this.redraw();
  }

  /** Draw it, or nothing; a site that has moved since is left out until it stands. */
  draw(map: RepairMap, layout: Layout, stands: Layout | null, on: boolean): void {
    const still = on ? this.sites.filter((one) => stood(layout, stands, one.site)) : [];
    const anchors = still.filter((one) => one.kind !== "hole");
    map.layer.reach.replaceChildren(
      ...still.filter((one) => one.kind !== "hole" || one.answer !== "yes").map((one) => mark(map, layout, one)),
      ...labels(map, layout, anchors));
    this.tell(on, stands !== null);
  }

  private tell(on: boolean, chosen: boolean): void {
    this.holder.hidden = !on || !chosen;
    if (this.holder.hidden) return;
    if (this.refused || !this.sites.length) {
      refresh(this.holder, html("p", { class: "note" }, this.refused ? `Reach not computed: ${this.refused}` : "Reach is being worked out."));
      return;
    }
    refresh(this.holder, html("h2", {}, "Reach"),
      html("p", { class: "note" }, `Y yes, M only with the arm moved, N no; a hole without a letter is reached. Arm as it stands: ${this.standing}.`),
      html("ul", { class: "reach-list" }, ...this.sites.map((one) => html("li", {},
        askable(`reach.${one.portal}.${one.site}`, `${one.site}: ${WORD[one.answer]}`), `, ${one.words}.`))));
  }
}

function spot(layout: Layout, name: string): { u: number; v: number } | undefined {
  return layout.anchors.find((one) => one.name === name) ?? layout.holes.find((one) => one.name === name);
}

function stood(layout: Layout, stands: Layout | null, name: string): boolean {
  const [now, then] = [spot(layout, name), stands && spot(stands, name)];
  return !!now && !!then && now.u === then.u && now.v === then.v;
}

/** The letter beside its site. */
function mark(map: RepairMap, layout: Layout, one: Site): SVGElement {
  const { u, v } = spot(layout, one.site)!;
  const [x, y] = map.at(u, v);
  return one.kind === "hole" ? letter(one, x + MARK_PX / 2, y - MARK_PX / 2) : letter(one, x, y + (one.kind === "medial anchor" ? -MARK_PX : MARK_PX));
}

/** A letter in a ring; the ring is whole, broken or a filled square as the answer is. */
function letter(one: Site, x: number, y: number): SVGElement {
  const ring = one.answer === "no" ? svg("rect", { x: x - 8, y: y - 8, width: 16, height: 16 }) : svg("circle", { cx: x, cy: y, r: 8.5 });
  return svg("g", { class: `reach ${one.answer}` }, ring, svg("text", { class: "reach-letter", x, y: y + 4, "text-anchor": "middle" }, LETTER[one.answer]));
}

/** Portal and arm of each anchor on the bone below it, lower where two would meet. */
function labels(map: RepairMap, layout: Layout, anchors: readonly Site[]): SVGElement[] {
  if (map.sideways) return [];
  const [, , , bottom] = map.extent();
  const width = map.root.viewBox.baseVal.width;
  const top = map.at(0, Math.max(map.chart.strip.edge, ...layout.anchors.map((a) => a.v)))[1] + MARK_PX + BELOW_PX / 2;
  const rows: number[] = [];
  const found = anchors.map((one) => ({ one, at: map.at(spot(layout, one.site)!.u, 0)[0] })).sort((a, b) => a.at - b.at);
  const drawn = found.map(({ one, at }) => {
    const lines = [`${one.site} ${one.answer === "no" ? "not reached" : one.portal}`, one.answer === "moved" ? posture(one.pose) : one.answer === "yes" ? "arm as it stands" : ""].filter(Boolean);
    const half = (Math.max(...lines.map((line) => line.length)) * LETTER_PX) / 2;
    const x = Math.min(Math.max(at, RIM_PX + half), width - RIM_PX - half);
    let row = rows.findIndex((end) => end < x - half);
    if (row < 0) row = rows.push(0) - 1;
    rows[row] = x + half;
    const y = top + row * LABEL_PX;
    const box = svg("rect", { class: "reach-ground", x: x - half, y: y - LINE_PX + 1, width: 2 * half, height: lines.length * LINE_PX + 4, rx: 3 });
    return svg("g", { class: "reach-label" }, box, ...lines.map((line, i) => svg("text", { x, y: y + i * LINE_PX, "text-anchor": "middle" }, line)));
  });
  return map.at(0, bottom)[1] > top ? drawn : [];
}

function posture(pose: Pose): string {
  const turn = Math.round(pose.rotation_degrees);
  const flexed = Math.round(pose.flexion_degrees);
  const parts = [`arm ${Math.round(pose.abduction_degrees)}° abducted`, turn ? `${Math.abs(turn)}° ${turn > 0 ? "out" : "in"}` : "", flexed ? `${flexed}° flexed` : ""];
  return parts.filter(Boolean).join(", ");
}
