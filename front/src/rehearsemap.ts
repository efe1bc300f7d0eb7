// The field from above: limbs as straight lines from their source to their portal, portals as bays with limbs lying in them.
import { html, svg, way } from "./draw";
import { sample, shortened, strand, threadOf } from "./rehearsethread";
import { hanging, lives, type Field, type LimbPortal, type Spot, type State, type Step } from "./rehearsewire";

const BAY_WIDE = 138;
const BAY_BELOW = 172;
const BAY_HIGH = 118;
const CHIP_ROW = 26;
const HEAD_HIGH = 54;
const CHIPS = 4;
const CHIP_WIDE = 34;
const TOP = 34;
const GAP = 8;
const MEDIAL_MM = 9;
const LABEL_ROWS = 3;

type Side = "left" | "right" | "below";
interface Bay { side: Side; x: number; y: number }

export interface Hears { picked(limb: string): void }

export class LimbsMap {
  private readonly root = svg("svg", { class: "limb-field", role: "img" });
  private readonly bays = html("div", { class: "bays" });
  private last: Parameters<LimbsMap["show"]> | null = null;
  private scale = 1;
  private origin: Spot = [0, 0];
  private flip = 1;
  private deep = BAY_HIGH;
  private below = BAY_BELOW;

  constructor(private readonly holder: HTMLElement, private readonly hears: Hears) {
    holder.replaceChildren(this.root, this.bays);
    new ResizeObserver(() => { if (this.last) this.show(...this.last); }).observe(holder);
  }

  /** ``step`` led to ``state`` from ``before``; ``picked`` are limbs under the learner's hand, null when none may be. */
  show(field: Field, state: State, before: State | null, step: Step | null, picked: ReadonlySet<string> | null): void {
    this.last = [field, state, before, step, picked];
    this.flip = field.anterior === "right" ? -1 : 1;
    const [width, height] = [this.holder.clientWidth, this.holder.clientHeight];
    if (!width || !height) return;
    const under = field.portals.filter((p) => this.side(field, p) === "below").length;
    this.below = Math.min(BAY_BELOW, (width - GAP) / Math.max(1, under) - GAP);
    this.deep = Math.max(BAY_HIGH, ...field.portals.filter((p) => this.side(field, p) === "below").map((p) => this.high(field, state, p, "below", picked)));
    this.frame(field, width, height);
    const moved = new Set(step?.move.limbs ?? []);
    this.root.setAttribute("viewBox", `0 0 ${width} ${height}`);
    this.root.setAttribute("aria-label", words(field, state));
    const spots = this.places(field, state, picked, width, height);
    this.root.replaceChildren(
      ...this.ground(field, width, height),
      ...this.leads(field, state, spots),
      ...(before && step ? this.ghosts(field, before, step) : []),
      ...this.lines(field, state, moved),
      ...this.fixed(field, state),
      ...this.marks(field, state),
      ...this.names(field, state, moved));
    const focused = document.activeElement instanceof HTMLElement ? document.activeElement.dataset["limb"] : undefined;
    this.bays.replaceChildren(...field.portals.map((portal) => this.bay(field, state, portal, spots.get(portal.name)!, moved, picked)));
    if (focused) this.bays.querySelector<HTMLElement>(`[data-limb="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
  }

  // Where things lie

  private frame(field: Field, width: number, height: number): void {
    const all = [...field.portals.map((p) => p.at), ...field.limbs.flatMap((l) => Object.values(l.sources)), ...field.seats.map((s) => s.at)];
    const [xs, ys] = [all.map((p) => p[0]), all.map((p) => p[1])];
    const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys, field.holes_at - MEDIAL_MM), Math.max(...ys)];
    this.scale = Math.min((width - 2 * (BAY_WIDE + GAP + 10)) / (x1 - x0), (height - TOP - this.deep - 30) / (y1 - y0));
    this.origin = [width / 2 - (this.flip * this.scale * (x0 + x1)) / 2, TOP - y0 * this.scale];
  }

  private at([x, y]: Spot): Spot {
    return [this.origin[0] + this.flip * this.scale * x, this.origin[1] + this.scale * y];
  }

  private side(field: Field, portal: LimbPortal): Side {
    const holes = field.limbs.map((one) => one.sources.passed[0]);
    const middle = (Math.min(...holes) + Math.max(...holes)) / 2;
    const [across, down] = [this.flip * (portal.at[0] - middle), portal.at[1] - field.holes_at];
    if (Math.abs(across) < down) return "below";
    return across < 0 ? "left" : "right";
  }

  /** What lies in a bay: whole sutures together unless limbs are to be picked one by one. */
  private lying(field: Field, state: State, portal: LimbPortal, picked: ReadonlySet<string> | null): string[] {
    const here = hanging(field, state, portal.name);
    return picked ? here : shortened(here);
  }

  private high(field: Field, state: State, portal: LimbPortal, side: Side, picked: ReadonlySet<string> | null): number {
    const count = this.lying(field, state, portal, picked).length;
    const each = count > 8 ? (side === "below" ? Math.max(2, Math.floor(this.below / CHIP_WIDE)) : CHIPS) : 2;
    return HEAD_HIGH + Math.ceil(count / each) * CHIP_ROW;
  }

  /** Bays beside the portals, pushed apart where they would meet. */
  private places(field: Field, state: State, picked: ReadonlySet<string> | null, width: number, height: number): Map<string, Bay> {
    const found = new Map<string, Bay>();
    for (const side of ["left", "right", "below"] as const) {
      const below = side === "below";
      const here = field.portals.filter((p) => this.side(field, p) === side)
        .map((p) => ({ p, spot: this.at(p.at), size: below ? this.below : this.high(field, state, p, side, picked) }));
      const along = below ? 0 : 1;
      const end = below ? width : height - GAP;
      here.sort((a, b) => a.spot[along] - b.spot[along]);
      let free = below ? GAP : TOP;
      here.forEach(({ p, spot, size }, i) => {
        const rest = here.slice(i).reduce((sum, one) => sum + one.size + GAP, 0);
        const start = Math.max(free, Math.min(spot[along] - Math.min(size, BAY_HIGH) / 2, end - rest));
        free = start + size + GAP;
        const x = side === "left" ? GAP : side === "right" ? width - BAY_WIDE - GAP : start;
        found.set(p.name, { side, x, y: below ? height - this.deep - 4 : start });
      });
    }
    return found;
  }

  // The picture

  private ground(field: Field, width: number, height: number): SVGElement[] {
    const holes = this.at([0, field.holes_at])[1];
    const edge = this.at([0, field.carriers[0]?.at[1] ?? field.holes_at])[1];
    const word = (text: string, x: number, y: number): SVGElement => svg("text", { class: "edge-word", x, y, "text-anchor": "middle" }, text);
    const [left, right] = field.anterior === "left" ? ["anterior", "posterior"] : ["posterior", "anterior"];
    const inner = [BAY_WIDE + 2 * GAP, width - BAY_WIDE - 2 * GAP] as const;
    const torn = (holes + edge) / 2;
    const bottom = height - this.deep - 24;
    return [
      svg("rect", { class: "tint-bone", x: inner[0], y: torn, width: inner[1] - inner[0], height: Math.max(0, bottom - torn), rx: 4 }),
      svg("rect", { class: "field-tendon", x: inner[0], y: 24, width: inner[1] - inner[0], height: torn - 24, rx: 4 }),
      svg("path", { class: "tendon-edge", d: way([[inner[0], torn], [inner[1], torn]]) }),
      word("medial", width / 2, 17), word(left, inner[0] + 34, 17), word(right, inner[1] - 34, 17),
      svg("text", { class: "edge-word", x: inner[1] - 6, y: bottom - 8, "text-anchor": "end" }, "lateral"),
      svg("text", { class: "field-words", x: inner[0] + 8, y: 40 }, "from above; a scheme,"),
      svg("text", { class: "field-words", x: inner[0] + 8, y: 55 }, "along the tear to scale"),
    ];
  }

  /** From each portal to its bay, and the arthroscope. */
  private leads(field: Field, state: State, spots: Map<string, Bay>): SVGElement[] {
    return field.portals.flatMap((portal) => {
      const [x, y] = this.at(portal.at);
      const bay = spots.get(portal.name)!;
      const to: Spot = bay.side === "below" ? [bay.x + this.below / 2, bay.y] : [bay.side === "left" ? bay.x + BAY_WIDE : bay.x, bay.y + 14];
      const parts: SVGElement[] = [
        svg("path", { class: "bay-lead", d: way([[x, y], to]) }),
        svg("circle", { class: `portal-spot${state.cannulas.includes(portal.name) ? " cannula" : ""}`, cx: x, cy: y, r: state.cannulas.includes(portal.name) ? 8 : 5 }),
      ];
      if (portal.name === state.scope) parts.push(this.arthroscope(field, [x, y]));
      return parts;
    });
  }

  private arthroscope(field: Field, [x, y]: Spot): SVGElement {
    const holes = field.limbs.map((one) => this.at(one.sources.passed));
    const middle: Spot = [holes.reduce((sum, p) => sum + p[0], 0) / Math.max(1, holes.length), holes[0]?.[1] ?? y];
    const long = Math.hypot(middle[0] - x, middle[1] - y) || 1;
    const [dx, dy] = [(middle[0] - x) / long, (middle[1] - y) / long];
    return svg("path", { class: "scope-shaft", d: way([[x, y], [x + dx * 46, y + dy * 46]]) });
  }

  private line(field: Field, state: State, i: number): [Spot, Spot] | null {
    const found = state.limbs[i];
    const limb = field.limbs[i];
    const portal = field.portals.find((one) => one.name === found?.[1]);
    if (!limb || !found || !portal || !lives(found)) return null;
    return [this.at(limb.sources[found[0] as "unpassed" | "passed" | "knotted"]), this.at(portal.at)];
  }

  private ghosts(field: Field, before: State, step: Step): SVGElement[] {
    return step.move.limbs.flatMap((name) => {
      const line = this.line(field, before, field.limbs.findIndex((one) => one.name === name));
      return line ? [svg("path", { class: "limb-ghost", d: way(line) })] : [];
    });
  }

  /** Lower limbs first, so that of two that cross the upper one lies on top. */
  private lines(field: Field, state: State, moved: ReadonlySet<string>): SVGElement[] {
    const upper = new Set(state.over.map(([top]) => top));
    return layered(field.limbs.map((one) => one.name), state.over).flatMap((name) => {
      const line = this.line(field, state, field.limbs.findIndex((one) => one.name === name));
      return line ? [strand(way(line), threadOf(field, name), `${moved.has(name) ? "moved" : "resting"}${upper.has(name) ? " upper" : ""}`)] : [];
    });
  }

  private fixed(field: Field, state: State): SVGElement[] {
    return field.limbs.flatMap((limb, i) => {
      const found = state.limbs[i];
      const seat = found?.[0] === "fixed" ? field.seats.find((one) => one.name === found[1]) : undefined;
      const suture = field.sutures.find((one) => one.name === limb.suture);
      const from = suture?.ending === "knotless" ? limb.sources.passed : limb.sources.knotted;
      return seat ? [strand(way([this.at(from), this.at(seat.at)]), threadOf(field, limb.name), "resting")] : [];
    });
  }

  private marks(field: Field, state: State): SVGElement[] {
    const anchors = field.carriers.map((one) => {
      const [x, y] = this.at(one.at);
      const mine = field.limbs.flatMap((limb, i) => (field.sutures.find((s) => s.name === limb.suture)?.carrier === one.name ? [state.limbs[i]?.[0]] : []));
      const placed = mine.some((stage) => stage !== "outside");
      return svg("g", { class: `limb-anchor${placed ? "" : " waiting"}` }, svg("circle", { cx: x, cy: y, r: 9 }), svg("text", { x, y: y + 4, "text-anchor": "middle" }, one.name));
    });
    const seats = field.seats.map((one) => {
      const [x, y] = this.at(one.at);
      const placed = state.limbs.some(([stage, where]) => stage === "fixed" && where === one.name);
      return svg("g", { class: `limb-anchor${placed ? "" : " waiting"}` }, svg("rect", { x: x - 10, y: y - 9, width: 20, height: 18 }), svg("text", { x, y: y + 4, "text-anchor": "middle" }, one.name));
    });
    const holes = field.limbs.filter((one) => one.holed).map((one) => {
      const [cx, cy] = this.at(one.sources.passed);
      return svg("circle", { class: "limb-hole", cx, cy, r: 3 });
    });
    const knots = field.sutures.flatMap((one) => {
      const i = field.limbs.findIndex((limb) => limb.suture === one.name);
      const stage = state.limbs[i]?.[0];
      if (one.ending === "knotless" || !(stage === "knotted" || stage === "fixed" || stage === "cut")) return [];
      const [x, y] = this.at(field.limbs[i]!.sources.knotted);
      return [svg("path", { class: "knot", d: `M${x - 4} ${y - 4}L${x + 4} ${y + 4}M${x - 4} ${y + 4}L${x + 4} ${y - 4}` })];
    });
    return [...anchors, ...seats, ...holes, ...knots];
  }

  /** Each limb's name where it starts; limbs of one eyelet or knot together, neighbours in rows of their own. */
  private names(field: Field, state: State, moved: ReadonlySet<string>): SVGElement[] {
    const groups = new Map<string, { spot: Spot; names: string[]; low: boolean }>();
    field.limbs.forEach((limb, i) => {
      const line = this.line(field, state, i);
      if (!line) return;
      const key = line[0].map((x) => x.toFixed(1)).join();
      const low = state.limbs[i]?.[0] === "unpassed";
      const group = groups.get(key) ?? { spot: line[0], names: [], low };
      group.names.push(limb.name);
      groups.set(key, group);
    });
    const sorted = [...groups.values()].sort((a, b) => a.spot[0] - b.spot[0]);
    const rows = { true: 0, false: 0 };
    return sorted.map(({ spot: [x, y], names, low }) => {
      const row = rows[`${low}`]++ % LABEL_ROWS;
      const [dx, dy] = low ? [14, 20] : [0, -9 - 14 * row];
      const text = shortened(names).join(" ");
      return svg("text", { class: `limb-name${names.some((name) => moved.has(name)) ? " moved" : ""}`, x: x + dx, y: y + dy, "text-anchor": low ? "start" : "middle" }, text);
    });
  }

  private bay(field: Field, state: State, portal: LimbPortal, place: Bay, moved: ReadonlySet<string>, picked: ReadonlySet<string> | null): HTMLElement {
    const here = hanging(field, state, portal.name);
    const tags = [portal.name === state.scope ? `arthroscope, ${state.compartment}` : "", state.cannulas.includes(portal.name) ? "cannula" : "", portal.open ? "" : "closed"].filter(Boolean).join(", ");
    const lying = this.lying(field, state, portal, picked);
    const bay = html("section", { class: `bay${lying.length > 8 ? " full" : ""}`, "aria-label": `${portal.name} portal` },
      html("h3", {}, html("b", {}, portal.code), ` ${portal.name}`),
      html("p", { class: "bay-tags" }, tags || `${here.length} of ${portal.capacity} limbs`),
      html("div", { class: "chips" }, ...lying.map((name) => this.chip(field, name, moved, picked))));
    Object.assign(bay.style, { left: `${place.x.toFixed(0)}px`, top: `${place.y.toFixed(0)}px`, width: `${place.side === "below" ? this.below : BAY_WIDE}px` });
    return bay;
  }

  private chip(field: Field, name: string, moved: ReadonlySet<string>, picked: ReadonlySet<string> | null): HTMLElement {
    const cls = `chip${[name, `${name}F`, `${name}B`].some((one) => moved.has(one)) ? " moved" : ""}`;
    const title = `${name}: ${threadOf(field, name).words}`;
    if (!picked) return html("span", { class: cls, title }, sample(threadOf(field, name)), name);
    const button = html("button", { type: "button", class: cls, title, "data-limb": name, "aria-pressed": String(picked.has(name)) }, sample(threadOf(field, name)), name);
    button.addEventListener("click", () => this.hears.picked(name));
    return button;
  }
}

/** Names so that each stands after all that lie under it; rings of limbs keep their order. */
export function layered(names: readonly string[], over: readonly [string, string][]): string[] {
  const done: string[] = [];
  const left = new Set(names);
  while (left.size) {
    const free = [...left].filter((name) => !over.some(([top, below]) => top === name && left.has(below) && below !== name));
    for (const name of free.length ? free : [...left]) {
      done.push(name);
      left.delete(name);
    }
  }
  return done;
}

function words(field: Field, state: State): string {
  const told = field.portals.map((portal) => `${portal.name}: ${shortened(hanging(field, state, portal.name)).join(", ") || "no limb"}`);
  return `Limbs from above. ${told.join(". ")}. Arthroscope in the ${state.scope} portal.`;
}
