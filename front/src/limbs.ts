// Limbs: each known by hue, line pattern and its name at both ends, the same on the map and in every list.
import { svg } from "./draw";
import type { RepairMap } from "./map";
import type { Layout, Stitch } from "./wire";

const HUES = ["#0072B2", "#D55E00", "#009E73", "#CC79A7", "#332288", "#E69F00", "#56B4E9", "#882255"];
const PATTERNS = ["solid", "long-dash", "dot", "beaded"];
const LONG_ENOUGH_PX = 70;
const NAME_STEP_PX = 15;
const NAME_FROM_END_PX = 34;
const LOAD_FROM_HOLE_PX = 44;
const LOAD_ROW_PX = 20;

type Spot = [number, number];

export interface Look { hue: string; pattern: string }

export function limbLook(place: number): Look {
  const turn = place + Math.floor(place / HUES.length);
  return { hue: HUES[place % HUES.length]!, pattern: PATTERNS[turn % PATTERNS.length]! };
}

export function lookOf(layout: Layout, limb: string): Look | null {
  const found = layout.holes.findIndex((hole) => hole.name === limb);
  return found < 0 ? null : limbLook(found);
}

/** A stroke in a limb's look: a paper casing, an ink edge, the hue in its pattern. */
export function stroke(d: string, look: Look): SVGElement {
  const beads = look.pattern === "beaded" ? [svg("path", { class: "beads", d, stroke: look.hue })] : [];
  return svg("g", { class: `limb ${look.pattern}` },
    svg("path", { class: "casing", d }),
    svg("path", { class: "edge", d }),
    svg("path", { class: "hue", d, stroke: look.hue }),
    ...beads);
}

export function drawLimbs(map: RepairMap, layout: Layout, loads: Map<string, string>): void {
  const under: SVGElement[] = [];
  const over: SVGElement[] = [];
  const names: SVGElement[] = [];
  layout.holes.forEach((hole, index) => {
    const look = limbLook(index);
    const start = map.at(hole.u, hole.v);
    const runs = layout.stitches.filter((stitch) => stitch.holes.includes(hole.name));
    const first = runs[0];
    if (!first) return;
    const anchor = layout.anchors.find((a) => a.name === first.anchor);
    if (anchor) under.push(svg("path", { class: "under", d: line(map.at(anchor.u, anchor.v), start), stroke: look.hue }));
    const ends = runs.map((run) => farEnd(map, layout, run, hole.name)).filter((end) => end !== null);
    for (const end of ends) over.push(stroke(line(start, end), look));
    const far = ends.sort((a, b) => distance(start, b) - distance(start, a))[0] ?? start;
    names.push(...named(hole.name, start, far, loads.get(stitchName(runs[runs.length - 1] ?? first)), index % 2));
  });
  map.layer.limbs.replaceChildren(...under, ...over, ...knots(map, layout));
  map.layer.loads.replaceChildren(...names);
}

/** A stitch by its limbs, as the loads name it: ``1aF-1aB`` or ``1aF>L1``. */
export function stitchName(stitch: Stitch): string {
  const run = stitch.holes.join("-");
  return stitch.to === null ? run : `${run}>${stitch.to}`;
}

function farEnd(map: RepairMap, layout: Layout, run: Stitch, hole: string): Spot | null {
  if (run.to !== null) {
    const to = layout.anchors.find((a) => a.name === run.to);
    return to ? map.at(to.u, to.v) : null;
  }
  const here = layout.holes.find((h) => h.name === hole);
  if (!here) return null;
  const other = layout.holes.find((h) => h.name !== hole && run.holes.includes(h.name));
  if (other) return map.at((here.u + other.u) / 2, (here.v + other.v) / 2);
  return map.at(here.u, map.chart.strip.edge);
}

function knots(map: RepairMap, layout: Layout): SVGElement[] {
  return layout.stitches.filter((s) => s.kind === "mattress").map((stitch) => {
    const holes = layout.holes.filter((h) => stitch.holes.includes(h.name));
    const middle = (pick: (h: { u: number; v: number }) => number): number => holes.reduce((sum, h) => sum + pick(h), 0) / Math.max(1, holes.length);
    const [x, y] = map.at(middle((h) => h.u), middle((h) => h.v));
    return svg("path", { class: "knot", d: `M${x - 4} ${y - 4}L${x + 4} ${y + 4}M${x - 4} ${y + 4}L${x + 4} ${y - 4}` });
  });
}

/** The name at the hole and, on a long limb, at its far end; the load on the limb, nearer to the hole. */
function named(name: string, start: Spot, far: Spot, load: string | undefined, row: number): SVGElement[] {
  const long = distance(start, far);
  const words = (cls: string, x: number, y: number, anchor: string, text: string): SVGElement =>
    svg("text", { class: cls, x, y, "text-anchor": anchor }, text);
  const along = (px: number): Spot => [start[0] + ((far[0] - start[0]) * px) / long, start[1] + ((far[1] - start[1]) * px) / long];
  const shown = [words("limb-name", start[0], start[1] - NAME_STEP_PX, "middle", name)];
  if (long < LONG_ENOUGH_PX) {
    if (load) shown.push(words("limb-load", start[0], start[1] - 2 * NAME_STEP_PX, "middle", load));
    return shown;
  }
  const left = far[0] < start[0];
  const end = along(long - NAME_FROM_END_PX);
  const level = Math.abs(far[0] - start[0]) > Math.abs(far[1] - start[1]);
  if (level) shown.push(words("limb-name", end[0] + (left ? 8 : -8), end[1] + (row ? 15 : -7), left ? "start" : "end", name));
  else shown.push(words("limb-name", end[0] + (left ? -8 : 8), end[1] + 4, left ? "end" : "start", name));
  if (load) {
    const at = along(Math.min(LOAD_FROM_HOLE_PX + row * LOAD_ROW_PX, long / 2));
    shown.push(words("limb-load", at[0], at[1] + 4, "middle", load));
  }
  return shown;
}

function line(a: Spot, b: Spot): string {
  return `M${a[0].toFixed(1)} ${a[1].toFixed(1)}L${b[0].toFixed(1)} ${b[1].toFixed(1)}`;
}

function distance(a: Spot, b: Spot): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}
