// The outline of the tear and its handles: front, back and retracted edge, and the corners of missing tissue.
import { svg } from "./draw";
import type { Hand } from "./hand";
import type { RepairMap } from "./map";
import { mm } from "./numbers";
import type { Held, Spot } from "./snap";

export interface Outline { front: number; width: number; retraction: number | null; missing: [number, number][] }

const HANDLE_PX = 9;
const TARGET_PX = 14;
const LEAST_MM = 2;
const EDGES = ["front", "back", "edge"] as const;
const WORDS: Record<string, string> = { front: "Front edge of the tear", back: "Back edge of the tear", edge: "Retracted edge of the tendon" };

export const spoken = (held: Held): string => WORDS[held.name] ?? `Corner ${Number(held.name.slice(1)) + 1} of the missing tissue`;

/** Where a handle stands on this outline. */
export function spotOf(held: Held, outline: Outline, edge: number): Spot {
  const { front, width, retraction, missing } = outline;
  if (held.name === "front") return { u: front, v: edge };
  if (held.name === "back") return { u: front + width, v: edge };
  if (held.name === "edge") return { u: front + width / 2, v: edge - (retraction ?? 0) };
  const [u, v] = missing[Number(held.name.slice(1))] ?? [0, 0];
  return { u, v };
}

/** The outline with one handle elsewhere; the front edge moves without the back edge, and the other way round. */
export function moved(held: Held, spot: Spot, outline: Outline, edge: number): Outline {
  const back = outline.front + outline.width;
  if (held.name === "front") {
    const front = Math.min(Math.max(0, spot.u), back - LEAST_MM);
    return { ...outline, front, width: back - front };
  }
  if (held.name === "back") return { ...outline, width: Math.max(LEAST_MM, spot.u - outline.front) };
  if (held.name === "edge") return { ...outline, retraction: Math.max(0, edge - spot.v) };
  const at = Number(held.name.slice(1));
  return { ...outline, missing: outline.missing.map((corner, i) => (i === at ? [spot.u, spot.v] : corner)) };
}

export class TearHandles {
  constructor(private readonly map: RepairMap, private readonly hand: Hand, private readonly remove: (corner: number) => void) {}

  draw(outline: Outline): void {
    const { map } = this;
    const { edge } = map.chart.strip;
    const { front, width, missing } = outline;
    const lines = svg("g", { class: "tear-outline" },
      svg("path", { d: map.path(arch(outline, edge)) }),
      missing.length ? svg("path", { class: "missing", d: map.path(missing, true) }) : null,
      missing.length ? words(map, missing) : null);
    const old = map.layer.hand.querySelector(".tear-outline");
    if (old) old.replaceWith(lines);
    else map.layer.hand.prepend(lines);
    this.tendon(outline, edge);
    const names = [...EDGES, ...missing.map((_, i) => `c${i}`)];
    for (const gone of map.layer.hand.querySelectorAll<SVGGElement>(".tear-handle")) {
      if (!names.includes(gone.dataset["name"] as (typeof EDGES)[number])) gone.remove();
    }
    for (const name of names) this.put({ kind: name.startsWith("c") ? "corner" : "tear", name }, outline, edge, front + width);
  }

  /** What is left of the tendon medial of the torn edge. */
  private tendon(outline: Outline, edge: number): void {
    const [, , v0] = this.map.extent();
    const left = [[outline.front, v0], ...arch(outline, edge), [outline.front + outline.width, v0]] as [number, number][];
    this.map.layer.tendon.append(svg("path", { class: "tendon-whole", d: this.map.path(left, true) }));
  }

  pick(held: Held | null): void {
    for (const one of this.map.layer.hand.querySelectorAll<SVGGElement>(".tear-handle")) one.classList.toggle("picked", one.dataset["name"] === held?.name);
  }

  private put(held: Held, outline: Outline, edge: number, back: number): void {
    const found = this.map.layer.hand.querySelector<SVGGElement>(`[data-name="${held.name}"]`) ?? this.make(held);
    const spot = spotOf(held, outline, edge);
    const [, , v0] = this.map.extent();
    const [x, y] = this.map.at(spot.u, Math.max(spot.v, v0));
    found.setAttribute("transform", `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
    const said = held.name === "edge" ? `${outline.retraction === null ? "not measured" : `${mm(outline.retraction)} retracted`}`
      : held.kind === "corner" ? `${mm(spot.u)} from the front, ${mm(spot.v)} from the cartilage margin`
        : `${mm(spot.u)} from the front of the footprint; ${mm(back - outline.front)} wide`;
    found.querySelector(".arrows")?.setAttribute("transform", this.map.sideways ? "rotate(90)" : "");
    found.setAttribute("aria-valuetext", said);
    found.setAttribute("aria-valuenow", (held.name === "edge" ? outline.retraction ?? 0 : spot.u).toFixed(1));
  }

  private make(held: Held): SVGGElement {
    const [u0, u1] = this.map.extent();
    const shape = held.kind === "corner" ? svg("rect", { class: "body", x: -6, y: -6, width: 12, height: 12 }) : svg("circle", { class: "body", r: HANDLE_PX });
    const arrows = held.kind === "corner" ? "" : held.name === "edge" ? "M0 -5V5M-3 -2L0 -5L3 -2M-3 2L0 5L3 2" : "M-5 0H5M-2 -3L-5 0L-2 3M2 -3L5 0L2 3";
    const one = svg("g", { class: `tear-handle ${held.kind}`, tabindex: 0, role: "slider", "aria-label": spoken(held), "data-name": held.name,
      "aria-valuemin": held.name === "edge" ? 0 : u0.toFixed(0), "aria-valuemax": held.name === "edge" ? 80 : u1.toFixed(0), "aria-describedby": "hand" },
    svg("title", {}, spoken(held)),
    svg("circle", { class: "target", r: TARGET_PX }),
    svg("circle", { class: "focus-ring", r: TARGET_PX + 2 }), shape, svg("path", { class: "arrows", d: arrows }));
    this.hand.take(one, held);
    if (held.kind === "corner") one.addEventListener("keydown", (event) => {
      if (event.key !== "Delete" && event.key !== "Backspace") return;
      event.preventDefault();
      this.remove(Number(held.name.slice(1)));
    });
    this.map.layer.hand.append(one);
    return one;
  }
}

/** The torn edge from front to back: as far medial as it was found, where that is known. */
function arch(outline: Outline, edge: number): [number, number][] {
  const { front, width, retraction } = outline;
  if (retraction === null) return [[front, edge], [front + width, edge]];
  return Array.from({ length: 25 }, (_, i) => [front + (width * i) / 24, edge - retraction * Math.sin((Math.PI * i) / 24) ** 0.5]);
}

function words(map: RepairMap, missing: readonly [number, number][]): SVGElement {
  const mean = (axis: 0 | 1): number => missing.reduce((sum, corner) => sum + corner[axis], 0) / missing.length;
  const [x, y] = map.at(mean(0), mean(1));
  return svg("text", { class: "missing-words", x, y: y + 4, "text-anchor": "middle" }, "no tendon");
}
