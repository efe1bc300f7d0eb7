// Under the hand on the skin map: a portal follows pointer or arrows along its two landmark distances.
import { arrow } from "./accesskeys";
import type { Flat, SkinMap } from "./accessskin";
import type { Lever, Portal, PortalPlace } from "./accesswire";
import { svg } from "./draw";

const STEP_MM = 1;
const BIG_STEP_MM = 5;
const DRAG_PX = 3;
const REST_MS = 450;
const NAME_PX = 15;
const LETTER_PX = 6.6;

/** Where a name stands: left end, base line, length. */
type Box = [number, number, number];

interface Moves { moving(place: PortalPlace): void; placed(place: PortalPlace): void; dropped(): void }
interface Drag { portal: Portal; x: number; y: number; moved: boolean; place: PortalPlace }

export class SkinHand {
  private drag: Drag | null = null;
  private keys: { place: PortalPlace; timer: number } | null = null;
  private portals: Portal[] = [];

  constructor(private readonly root: SVGSVGElement, private readonly map: SkinMap, private readonly does: Moves) {
    root.addEventListener("pointermove", (event) => this.move(event));
    root.addEventListener("pointerup", () => this.release());
    root.addEventListener("pointercancel", () => this.cancel());
  }

  get busy(): boolean {
    return this.drag !== null || this.keys !== null;
  }

  draw(holder: SVGGElement, portals: Portal[], viewing: string): void {
    const focused = document.activeElement instanceof SVGElement ? document.activeElement.dataset["portal"] : undefined;
    this.portals = portals;
    const taken: Box[] = portals.map((p) => { const [x, y] = this.map.flat(p.skin); return [x - 9, y + 4, 18]; });
    holder.replaceChildren(...portals.map((portal) => this.mark(portal, viewing, taken)));
    if (focused) holder.querySelector<SVGElement>(`[data-portal="${focused}"]`)?.focus({ preventScroll: true });
  }

  /** While something moves: only places, so that focus and pointer stay. */
  refresh(portals: Portal[]): void {
    this.portals = portals;
    for (const portal of portals) {
      const [x, y] = this.map.flat(portal.skin);
      const mark = this.root.querySelector(`[data-portal="${portal.name}"]`);
      mark?.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      mark?.setAttribute("aria-label", label(portal));
    }
  }

  private mark(portal: Portal, viewing: string, taken: Box[]): SVGElement {
    const [x, y] = this.map.flat(portal.skin);
    const long = portal.name.length * LETTER_PX;
    const ways = [[16, 4], [-16, 4], [0, -18], [0, 28], [16, 22], [-16, 22]] as const;
    const boxes = ways.map(([dx, dy]): Box => [dx > 0 ? x + dx : dx < 0 ? x + dx - long : x - long / 2, y + dy, long]);
    const free = (box: Box): boolean => box[0] > 20 && box[0] + long < 384 && !taken.some((t) => Math.abs(t[1] - box[1]) < NAME_PX && t[0] < box[0] + long && box[0] < t[0] + t[2]);
    const n = Math.max(0, boxes.findIndex(free));
    taken.push(boxes[n]!);
    const [dx, dy] = ways[n]!;
    const error = portal.place.error * Math.hypot(...this.map.step([0, 1, 0]));
    const mark = svg("g", {
      class: `movable portal${portal.name === viewing ? " viewing" : ""}`, tabindex: 0, role: "button", "data-portal": portal.name,
      "aria-label": label(portal), transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})`,
    },
    svg("circle", { class: "target", r: 16 }), svg("circle", { class: "stab-error", r: error }),
    svg("circle", { class: "focus-ring", r: 14 }), svg("circle", { class: "body", r: 8 }),
    svg("text", { class: "portal-name", x: dx, y: dy, "text-anchor": dx > 0 ? "start" : dx < 0 ? "end" : "middle" }, portal.name));
    mark.addEventListener("pointerdown", (event) => this.press(event, portal.name));
    mark.addEventListener("keydown", (event) => this.key(event, portal.name));
    mark.addEventListener("blur", () => this.rest());
    return mark;
  }

  private press(event: PointerEvent, name: string): void {
    const portal = this.portals.find((one) => one.name === name);
    if (event.button !== 0 || !portal) return;
    this.rest();
    this.root.setPointerCapture(event.pointerId);
    (event.currentTarget as SVGElement).focus({ preventScroll: true });
    this.drag = { portal, x: event.clientX, y: event.clientY, moved: false, place: portal.place };
    event.preventDefault();
  }

  private move(event: PointerEvent): void {
    const drag = this.drag;
    if (!drag || (!drag.moved && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < DRAG_PX)) return;
    drag.moved = true;
    const scale = this.root.viewBox.baseVal.width / this.root.getBoundingClientRect().width;
    drag.place = this.shifted(drag.portal, [(event.clientX - drag.x) * scale, (event.clientY - drag.y) * scale]);
    this.does.moving(drag.place);
  }

  private release(): void {
    const drag = this.drag;
    this.drag = null;
    if (drag?.moved) this.does.placed(drag.place);
  }

  cancel(): boolean {
    if (!this.busy) return false;
    if (this.keys) window.clearTimeout(this.keys.timer);
    this.drag = null;
    this.keys = null;
    this.does.dropped();
    return true;
  }

  private key(event: KeyboardEvent, name: string): void {
    if (event.key === "Escape") {
      if (this.cancel()) event.stopPropagation();
      return;
    }
    const [dx, dy] = arrow(event.key);
    const portal = this.portals.find((one) => one.name === name);
    if ((!dx && !dy) || !portal || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    if (this.keys) window.clearTimeout(this.keys.timer);
    const lever = this.along(portal.levers, dx !== 0 ? 0 : 1);
    const toward = Math.sign(this.map.step(lever.way)[dx !== 0 ? 0 : 1]) * (dx || dy);
    const from = this.keys?.place ?? portal.place;
    const place = moved(from, lever, toward * (event.shiftKey ? BIG_STEP_MM : STEP_MM));
    this.keys = { place, timer: window.setTimeout(() => this.rest(), REST_MS) };
    this.does.moving(place);
  }

  private rest(): void {
    const keys = this.keys;
    if (!keys) return;
    window.clearTimeout(keys.timer);
    this.keys = null;
    this.does.placed(keys.place);
  }

  /** The distance that runs most along a screen direction. */
  private along(levers: Lever[], axis: 0 | 1): Lever {
    const share = (lever: Lever): number => {
      const step = this.map.step(lever.way);
      return Math.abs(step[axis]) / Math.max(0.01, Math.hypot(...step));
    };
    const [first, second] = [levers[0]!, levers[1]!];
    const firstAcross = share(first) >= share(second);
    return firstAcross ? first : second;
  }

  /** The place after a step on the screen, shared out over both distances. */
  private shifted(portal: Portal, [dx, dy]: Flat): PortalPlace {
    const [first, second] = [portal.levers[0]!, portal.levers[1]!];
    const [a, b] = [this.map.step(first.way), this.map.step(second.way)];
    const det = a[0] * b[1] - b[0] * a[1];
    if (Math.abs(det) < 0.05 * Math.hypot(...a) * Math.hypot(...b)) return portal.place;
    const one = (dx * b[1] - b[0] * dy) / det;
    const other = (a[0] * dy - dx * a[1]) / det;
    return moved(moved(portal.place, first, one), second, other);
  }
}

function label(portal: Portal): string {
  return `${portal.name} portal, ${portal.marking.map((m) => `${m.cm.toFixed(1)} cm ${m.words}`).join(", ")}`;
}

function moved(place: PortalPlace, lever: Lever, steps: number): PortalPlace {
  const value = (place[lever.name] ?? 0) + steps * lever.per_mm;
  const least = lever.name === "along" || lever.name === "down" || lever.name === "beside" ? 0 : -60;
  const most = lever.name === "along" ? 1 : 90;
  return { ...place, [lever.name]: Math.min(most, Math.max(least, value)) };
}
