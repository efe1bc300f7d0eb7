// Under the hand: drag with the pointer, pick and place with clicks alone, or move with the arrow keys.
// A gesture is one command on release; Escape takes it back; Alt switches snapping off.
import type { RepairMap } from "./map";
import type { Held, Spot } from "./snap";

const STEP_MM = 0.5;
const BIG_STEP_MM = 2;
const DRAG_PX = 4;
const SETTLE_KEYS_MS = 350;

export interface Gestures {
  /** Where the held thing stands when the gesture begins. */
  start(held: Held): Spot;
  /** It is being moved here; the place may be snapped. Returns the place used. */
  moving(held: Held, spot: Spot, snap: boolean): Spot;
  /** It is let go here. */
  placed(held: Held, spot: Spot): void;
  /** The gesture is taken back. */
  dropped(held: Held): void;
  /** It was picked with a click and waits for its place; null when nothing is picked. */
  picked(held: Held | null): void;
}

export class Hand {
  private picked: Held | null = null;
  private drag: { held: Held; x: number; y: number; moved: boolean; spot: Spot; offset: Spot; at: DOMRect } | null = null;
  private keys: { held: Held; spot: Spot; timer: number } | null = null;
  private swallow = false;

  constructor(private readonly map: RepairMap, private readonly does: Gestures) {
    map.root.addEventListener("pointermove", (event) => this.move(event));
    map.root.addEventListener("pointerup", (event) => this.release(event));
    map.root.addEventListener("pointercancel", () => this.cancel());
    map.root.addEventListener("click", (event) => this.click(event));
  }

  get busy(): boolean {
    return this.drag !== null || this.keys !== null;
  }

  /** Make ``handle`` movable. */
  take(handle: SVGElement, held: Held): void {
    handle.addEventListener("pointerdown", (event) => this.press(event, held));
    handle.addEventListener("keydown", (event) => this.key(event, held));
    handle.addEventListener("blur", () => this.settleKeys());
  }

  cancel(): boolean {
    const held = this.drag?.held ?? this.keys?.held ?? this.picked;
    if (!held) return false;
    if (this.keys) window.clearTimeout(this.keys.timer);
    const wasMoving = this.busy;
    this.drag = null;
    this.keys = null;
    this.pick(null);
    if (wasMoving) this.does.dropped(held);
    return true;
  }

  private press(event: PointerEvent, held: Held): void {
    if (event.button !== 0) return;
    this.settleKeys();
    if (this.picked && this.picked.name !== held.name) return;
    this.map.root.setPointerCapture(event.pointerId);
    (event.currentTarget as SVGElement).focus({ preventScroll: true });
    const spot = this.does.start(held);
    const [u, v] = this.map.under(event);
    this.drag = { held, x: event.clientX, y: event.clientY, moved: false, spot, offset: { u: spot.u - u, v: spot.v - v }, at: this.map.root.getBoundingClientRect() };
    event.preventDefault();
  }

  private move(event: PointerEvent): void {
    const drag = this.drag;
    if (!drag) return;
    if (!drag.moved && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < DRAG_PX) return;
    if (!drag.moved) this.pick(null);
    drag.moved = true;
    // A sentence that grows or shrinks above the map moves the map, not the thing in the hand.
    const [u, v] = this.map.under(event, drag.at);
    drag.spot = this.does.moving(drag.held, { u: u + drag.offset.u, v: v + drag.offset.v }, !event.altKey);
  }

  private release(event: PointerEvent): void {
    const drag = this.drag;
    if (!drag) return;
    this.drag = null;
    this.swallow = true;
    window.setTimeout(() => { this.swallow = false; });
    if (drag.moved) this.does.placed(drag.held, drag.spot);
    else this.pick(this.picked?.name === drag.held.name ? null : drag.held);
    event.preventDefault();
  }

  private click(event: MouseEvent): void {
    if (this.swallow) {
      this.swallow = false;
      return;
    }
    const held = this.picked;
    if (!held) return;
    const [u, v] = this.map.under(event);
    this.pick(null);
    this.does.start(held);
    this.does.placed(held, this.does.moving(held, { u, v }, !event.altKey));
  }

  private key(event: KeyboardEvent, held: Held): void {
    const way = ARROWS[event.key];
    if (event.key === "Enter" || event.key === " ") {
      this.settleKeys();
      this.pick(this.picked?.name === held.name ? null : held);
      event.preventDefault();
    }
    if (!way || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const step = event.shiftKey ? BIG_STEP_MM : STEP_MM;
    if (this.keys) window.clearTimeout(this.keys.timer);
    const from = this.keys?.spot ?? this.does.start(held);
    const [du, dv] = this.map.way(way[0] * step, way[1] * step);
    const wanted = { u: from.u + du, v: from.v + dv };
    const spot = this.does.moving(held, wanted, false);
    this.keys = { held, spot, timer: window.setTimeout(() => this.settleKeys(), SETTLE_KEYS_MS) };
  }

  private settleKeys(): void {
    const keys = this.keys;
    if (!keys) return;
    window.clearTimeout(keys.timer);
    this.keys = null;
    this.does.placed(keys.held, keys.spot);
  }

  private pick(held: Held | null): void {
    if (held === this.picked) return;
    this.picked = held;
    this.does.picked(held);
  }
}

const ARROWS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1],
};
