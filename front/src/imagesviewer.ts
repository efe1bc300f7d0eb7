// The stack: one picture large, pages turned by wheel and keys, window, zoom, pan, invert; marks and lines drawn over it.
import { html, place, svg } from "./draw";
import { Paint } from "./imagespaint";
import type { Slice } from "./imagesslices";
import { Slices } from "./imagesslices";
import type { Pixel, SeriesSaid } from "./imageswire";
import type { Window } from "./imageswindow";

export type Tool = "window" | "move" | "zoom";
const [FARTHEST, NEAREST] = [40, 0.2];
const STILL_PX = 3;
const LEAP = 5;
const PAN_PX = 40;

export interface ViewerEvents {
  /** A page was turned to. */
  turned(index: number): void;
  /** The picture was clicked at a pixel, or Enter pressed with the middle of what is seen. */
  clicked(at: Pixel): void;
  /** What is drawn over the picture must be drawn again. */
  drawn(): void;
  trouble(wrong: unknown): void;
}

export class Viewer {
  readonly over = svg("svg", { class: "stack-over" });
  series: SeriesSaid | null = null;
  index = 0;
  window: Window | null = null;
  invert = false;
  tool: Tool = "window";
  private readonly canvas = html("canvas", { "aria-hidden": "true" });
  private readonly paint = new Paint();
  private readonly edges: Record<string, HTMLElement> = {};
  private readonly root: HTMLElement;
  private zoom = 1;
  private pan: Pixel = [0, 0];
  private scale = 1;
  private origin: Pixel = [0, 0];
  private round = 0;
  private first = true;
  private framed = false;

  constructor(holder: HTMLElement, private readonly slices: Slices, private readonly events: ViewerEvents) {
    this.root = html("div", { class: "stack-view", tabindex: 0, role: "group", "aria-describedby": "stack-keys" }, this.canvas);
    for (const edge of ["left", "right", "top", "bottom"]) {
      this.edges[edge] = html("span", { class: `edge-letters at-${edge}` });
      this.root.append(this.edges[edge]!);
    }
    this.root.append(this.over);
    holder.replaceChildren(this.root);
    new ResizeObserver(() => this.frame()).observe(this.root);
    this.listen();
  }

  /** Show a series, at its middle unless told where. */
  async open(series: SeriesSaid, index = Math.floor(series.pictures.length / 2)): Promise<void> {
    const other = series !== this.series;
    this.series = series;
    if (other) [this.window, this.zoom, this.pan, this.invert] = [null, 1, [0, 0], false];
    for (const [edge, holder] of Object.entries(this.edges)) holder.textContent = series.edges[edge as "left"] ?? "";
    await this.turn(index);
    void this.slices.ahead(series.number, this.index, series.pictures.length);
  }

  /** Turn to a page, held within the stack. */
  async turn(index: number): Promise<void> {
    const series = this.series;
    if (!series) return;
    const wanted = Math.min(Math.max(index, 0), series.pictures.length - 1);
    this.index = wanted;
    const round = ++this.round;
    performance.mark("slice-wanted");
    let slice = this.slices.here(series.number, wanted);
    const cached = slice !== undefined;
    try {
      slice ??= await this.slices.get(series.number, wanted);
    } catch (wrong) {
      this.canvas.getContext("2d")?.clearRect(0, 0, this.canvas.width, this.canvas.height);
      this.events.trouble(wrong);
      return;
    }
    if (round !== this.round) return;
    this.window ??= slice.window ?? { centre: 128, width: 256, function: "LINEAR" };
    this.show(slice);
    performance.measure(cached ? "slice-change" : "slice-fetched", "slice-wanted");
    if (this.first) performance.mark("first-picture");
    this.first = false;
    this.events.turned(wanted);
  }

  /** The slice's own window again. */
  asStored(): void {
    const slice = this.slice();
    if (slice?.window) this.set({ window: slice.window });
  }

  set(change: { window?: Window; invert?: boolean; tool?: Tool }): void {
    Object.assign(this, change);
    const slice = this.slice();
    if (slice) this.show(slice);
    this.events.drawn();
  }

  fit(): void {
    [this.zoom, this.pan] = [1, [0, 0]];
    this.frame();
  }

  magnify(factor: number): void {
    this.zoom = Math.min(Math.max(this.zoom * factor, NEAREST), FARTHEST);
    this.frame();
  }

  /** Screen place, in px of the view, of a pixel. */
  at([x, y]: Pixel): Pixel {
    return [this.origin[0] + (x + 0.5) * this.scale, this.origin[1] + (y + 0.5) * this.scale * this.aspect()];
  }

  /** The pixel at a screen place. */
  pixel([x, y]: Pixel): Pixel {
    return [(x - this.origin[0]) / this.scale - 0.5, (y - this.origin[1]) / (this.scale * this.aspect()) - 0.5];
  }

  /** The pixel in the middle of what is seen. */
  middle(): Pixel {
    return this.held(this.pixel([this.root.clientWidth / 2, this.root.clientHeight / 2]));
  }

  /** A pixel held within the picture. */
  held([x, y]: Pixel): Pixel {
    const { columns = 1, rows = 1 } = this.series ?? {};
    return [Math.min(Math.max(x, 0), columns - 1), Math.min(Math.max(y, 0), rows - 1)];
  }

  focus(): void {
    this.root.focus();
  }

  label(words: string): void {
    this.root.setAttribute("aria-label", words);
  }

  get percent(): number {
    return Math.round(this.zoom * 100);
  }

  private slice(): Slice | undefined {
    return this.series ? this.slices.here(this.series.number, this.index) : undefined;
  }

  private aspect(): number {
    return this.series?.aspect ?? 1;
  }

  private show(slice: Slice): void {
    const series = this.series!;
    this.paint.draw(slice, series.columns, series.rows, this.window!, this.invert);
    this.frame();
  }

  /** Put the painted picture onto the screen. */
  private frame(): void {
    const series = this.series;
    const [wide, high] = [this.root.clientWidth, this.root.clientHeight];
    if (!series || !wide || !high) return;
    const sharp = window.devicePixelRatio || 1;
    if (this.canvas.width !== Math.round(wide * sharp) || this.canvas.height !== Math.round(high * sharp)) {
      this.canvas.width = Math.round(wide * sharp);
      this.canvas.height = Math.round(high * sharp);
      this.over.setAttribute("viewBox", `0 0 ${wide} ${high}`);
    }
    const fit = Math.min(wide / series.columns, high / (series.rows * series.aspect));
    this.scale = fit * this.zoom;
    const [w, h] = [series.columns * this.scale, series.rows * series.aspect * this.scale];
    this.origin = [(wide - w) / 2 + this.pan[0], (high - h) / 2 + this.pan[1]];
    const pen = this.canvas.getContext("2d", { alpha: false })!;
    pen.setTransform(sharp, 0, 0, sharp, 0, 0);
    pen.fillStyle = "#000";
    pen.fillRect(0, 0, wide, high);
    pen.imageSmoothingEnabled = this.scale < 6;
    pen.drawImage(this.paint.canvas, this.origin[0], this.origin[1], w, h);
    this.events.drawn();
  }

  private listen(): void {
    this.root.addEventListener("wheel", (event) => {
      event.preventDefault();
      if (event.ctrlKey) this.magnify(event.deltaY < 0 ? 1.1 : 1 / 1.1);
      else void this.turn(this.index + Math.sign(event.deltaY));
    }, { passive: false });
    this.root.addEventListener("keydown", (event) => this.pressed(event));
    this.root.addEventListener("pointerdown", (event) => this.pressedPointer(event));
    this.root.addEventListener("contextmenu", (event) => event.preventDefault());
  }

  private pressedPointer(down: PointerEvent): void {
    if (down.target instanceof Element && down.target.closest(".mark")) return;
    down.preventDefault();
    this.root.focus({ preventScroll: true });
    const way: Tool = down.button === 2 ? "zoom" : down.button === 1 || down.shiftKey ? "move" : this.tool;
    const [x0, y0] = [down.clientX, down.clientY];
    let [x, y, moved] = [x0, y0, false];
    this.root.setPointerCapture(down.pointerId);
    const move = (event: PointerEvent): void => {
      moved ||= Math.hypot(event.clientX - x0, event.clientY - y0) > STILL_PX;
      if (moved) this.dragged(way, event.clientX - x, event.clientY - y);
      if (moved) [x, y] = [event.clientX, event.clientY];
    };
    const up = (event: PointerEvent): void => {
      this.root.removeEventListener("pointermove", move);
      this.root.removeEventListener("pointerup", up);
      this.root.removeEventListener("pointercancel", up);
      if (moved || event.type === "pointercancel" || down.button !== 0) return;
      this.events.clicked(this.pixel(this.inView(event)));
    };
    this.root.addEventListener("pointermove", move);
    this.root.addEventListener("pointerup", up);
    this.root.addEventListener("pointercancel", up);
  }

  /** Place of a pointer in px of the view. */
  inView(event: { clientX: number; clientY: number }): Pixel {
    const box = this.root.getBoundingClientRect();
    return [event.clientX - box.left - this.root.clientLeft, event.clientY - box.top - this.root.clientTop];
  }

  private dragged(way: Tool, dx: number, dy: number): void {
    if (way === "move") {
      this.pan = [this.pan[0] + dx, this.pan[1] + dy];
      this.frame();
    } else if (way === "zoom") this.magnify(1 - dy / 150);
    else this.shift(dy / 300, dx / 300);
  }

  /** Move centre and width of the window by parts of the width; painted once a frame. */
  shift(centre: number, width: number): void {
    if (!this.window) return;
    const wide = Math.max(this.window.width * (1 + width), 1);
    this.window = { ...this.window, centre: this.window.centre + centre * this.window.width, width: wide };
    if (this.framed) return;
    this.framed = true;
    requestAnimationFrame(() => {
      this.framed = false;
      this.set({});
    });
  }

  private pressed(event: KeyboardEvent): void {
    if (event.target !== this.root || event.ctrlKey || event.metaKey || event.altKey) return;
    if (!this.obey(event.key, event.shiftKey)) return;
    event.preventDefault();
    event.stopPropagation();
  }

  private obey(key: string, shift: boolean): boolean {
    const last = (this.series?.pictures.length ?? 1) - 1;
    const pages: Record<string, number> = {
      ArrowUp: this.index - 1, ArrowLeft: this.index - 1, ArrowDown: this.index + 1, ArrowRight: this.index + 1,
      PageUp: this.index - LEAP, PageDown: this.index + LEAP, Home: 0, End: last,
    };
    const pans: Record<string, Pixel> = {
      ArrowUp: [0, PAN_PX], ArrowDown: [0, -PAN_PX], ArrowLeft: [PAN_PX, 0], ArrowRight: [-PAN_PX, 0],
    };
    const deeds: Record<string, () => void> = {
      "+": () => this.magnify(1.25), "=": () => this.magnify(1.25), "-": () => this.magnify(0.8), "0": () => this.fit(),
      i: () => this.set({ invert: !this.invert }), w: () => this.asStored(),
      "[": () => this.shift(-0.05, 0), "]": () => this.shift(0.05, 0), ",": () => this.shift(0, -0.1), ".": () => this.shift(0, 0.1),
      Enter: () => this.events.clicked(this.middle()),
    };
    if (shift && pans[key]) {
      this.pan = [this.pan[0] + pans[key][0], this.pan[1] + pans[key][1]];
      this.frame();
    } else if (pages[key] !== undefined) void this.turn(pages[key]);
    else if (deeds[key]) deeds[key]();
    else return false;
    return true;
  }
}

export const KEYS = "Arrows or wheel: next slice, Page Up and Down: five, Home and End. + - 0: zoom. Shift and arrows: pan."
  + " [ ] brightness, comma and full stop contrast, W: window as stored. I: invert. X: cross-lines. Enter: set a mark, arrows then move it.";

/** Words for readers of the screen. */
export function say(words: string): void {
  place("said").textContent = words;
}
