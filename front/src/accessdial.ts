// One dial: a drawn figure whose limb is turned by the pointer or the arrow keys; a slider to a screen reader.
import { html, svg } from "./draw";

export interface DialShape {
  name: string;
  /** What the figure is seen from, for the eye. */
  seen: string;
  least: number;
  most: number;
  /** Degrees clockwise on the screen from straight down at value 0, and for one more degree. */
  zero: number;
  sense: 1 | -1;
  pivot: [number, number];
  reach: number;
  figure: SVGElement[];
  words(value: number): string;
}

const STEP = 5;
const BIG_STEP = 15;

export class Dial {
  readonly root: HTMLElement;
  private value = 0;
  private readonly limb: SVGGElement;
  private readonly told: HTMLElement;
  private readonly handle: SVGSVGElement;

  constructor(private readonly shape: DialShape, private readonly turned: (value: number, done: boolean) => void) {
    const [x, y] = shape.pivot;
    this.limb = svg("g", { class: "dial-limb" },
      svg("path", { class: "dial-arm", d: `M${x} ${y}V${y + shape.reach}` }),
      svg("circle", { class: "dial-grip", cx: x, cy: y + shape.reach, r: 9 }));
    this.told = html("b", {});
    this.handle = svg("svg", {
      class: "dial", viewBox: "0 0 110 104", tabindex: 0, role: "slider", "aria-label": shape.name,
      "aria-valuemin": shape.least, "aria-valuemax": shape.most, "aria-orientation": "vertical",
    }, ...shape.figure, this.scale(), this.limb);
    this.handle.addEventListener("keydown", (event) => this.key(event));
    this.handle.addEventListener("pointerdown", (event) => this.press(event));
    this.handle.addEventListener("pointermove", (event) => this.drag(event));
    this.handle.addEventListener("pointerup", (event) => this.release(event));
    this.root = html("div", { class: "dial-box" }, this.handle, html("p", { class: "dial-words" }, `${shape.name} `, this.told, html("small", {}, shape.seen)));
  }

  show(value: number): void {
    this.value = value;
    const { pivot: [x, y] } = this.shape;
    this.limb.setAttribute("transform", `rotate(${this.screen(value)} ${x} ${y})`);
    this.told.textContent = this.shape.words(value);
    this.handle.setAttribute("aria-valuenow", String(value));
    this.handle.setAttribute("aria-valuetext", `${this.shape.words(value)}`);
  }

  private screen(value: number): number {
    return this.shape.zero + this.shape.sense * value;
  }

  private scale(): SVGElement {
    const { pivot: [x, y], least, most } = this.shape;
    const r = this.shape.reach + 12;
    const at = (value: number): string => {
      const a = (this.screen(value) * Math.PI) / 180;
      return `${(x - r * Math.sin(a)).toFixed(1)} ${(y + r * Math.cos(a)).toFixed(1)}`;
    };
    const sweep = this.shape.sense > 0 ? 1 : 0;
    return svg("path", { class: "dial-range", d: `M${at(least)}A${r} ${r} 0 0 ${sweep} ${at(most)}` });
  }

  private set(value: number, done: boolean): void {
    const kept = Math.min(this.shape.most, Math.max(this.shape.least, Math.round(value)));
    if (kept !== this.value || done) {
      this.show(kept);
      this.turned(kept, done);
    }
  }

  private key(event: KeyboardEvent): void {
    const step = event.shiftKey || event.key.startsWith("Page") ? BIG_STEP : STEP;
    const up = event.key === "ArrowUp" || event.key === "ArrowRight" || event.key === "PageUp";
    const down = event.key === "ArrowDown" || event.key === "ArrowLeft" || event.key === "PageDown";
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (up || down) this.set(this.value + (up ? step : -step), false);
    else if (event.key === "Home") this.set(this.shape.least, false);
    else if (event.key === "End") this.set(this.shape.most, false);
    else return;
    event.preventDefault();
  }

  private under(event: PointerEvent): number {
    const box = this.handle.getBoundingClientRect();
    const [x, y] = this.shape.pivot;
    const across = ((event.clientX - box.left) * 110) / box.width - x;
    const along = ((event.clientY - box.top) * 104) / box.height - y;
    const angle = (Math.atan2(-across, along) * 180) / Math.PI;
    const value = this.shape.sense * (angle - this.shape.zero);
    return ((value + 540) % 360) - 180;
  }

  private press(event: PointerEvent): void {
    if (event.button !== 0) return;
    this.handle.setPointerCapture(event.pointerId);
    this.handle.focus({ preventScroll: true });
    event.preventDefault();
    this.set(this.under(event), false);
  }

  private drag(event: PointerEvent): void {
    if (this.handle.hasPointerCapture(event.pointerId)) this.set(this.under(event), false);
  }

  private release(event: PointerEvent): void {
    if (!this.handle.hasPointerCapture(event.pointerId)) return;
    this.handle.releasePointerCapture(event.pointerId);
    this.set(this.under(event), true);
  }
}
