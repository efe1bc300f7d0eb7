// Marks drawn over the picture: dragged, or focused and moved by arrows; outlines as lines between their corners.
import { svg, way } from "./draw";
import type { Pixel } from "./imageswire";
import type { Viewer } from "./imagesviewer";

const [STEP, LEAP] = [0.5, 2];
/** How far along a line its words stand. */
const BESIDE = 0.12;
const WAYS: Record<string, Pixel> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** One mark: what it is called and where; a corner of an outline says the outline's name. */
export interface MarkShown { id: string; words: string; at: Pixel; kind: "point" | "corner"; still?: boolean }
export interface LineShown { points: Pixel[]; close: boolean; kind: "outline" | "cut" | "straight"; words?: string }

export class Marks {
  private readonly lines = svg("g", { class: "lines" });
  private readonly points = svg("g", { class: "points" });

  constructor(
    private readonly viewer: Viewer,
    private readonly moved: (id: string, at: Pixel, rest: boolean) => void,
    private readonly removed: (id: string) => void,
  ) {
    viewer.over.replaceChildren(this.lines, this.points);
  }

  draw(marks: MarkShown[], lines: LineShown[]): void {
    this.lines.replaceChildren(...lines.flatMap((line) => this.line(line)));
    const held = (document.activeElement as Element | null)?.getAttribute?.("data-mark");
    const there = new Map([...this.points.children].map((one) => [one.getAttribute("data-mark"), one as SVGGElement]));
    const wanted = marks.map((mark) => this.mark(mark, there.get(mark.id)));
    if (wanted.length !== this.points.children.length || wanted.some((one, i) => this.points.children[i] !== one)) {
      this.points.replaceChildren(...wanted);
      if (held) this.focus(held);
    }
  }

  focus(id: string): void {
    this.points.querySelector<SVGGElement>(`[data-mark="${CSS.escape(id)}"]`)?.focus({ preventScroll: true });
  }

  private line({ points, close, kind, words }: LineShown): SVGElement[] {
    const at = points.map((point) => this.viewer.at(point));
    const drawn: SVGElement[] = [svg("path", { class: `line under`, d: way(at, close) }), svg("path", { class: `line ${kind}`, d: way(at, close) })];
    const [one, other] = at;
    if (words && one && other) drawn.push(svg("text", { class: "line-words", x: one[0] + (other[0] - one[0]) * BESIDE + 5, y: one[1] + (other[1] - one[1]) * BESIDE - 5 }, words));
    return drawn;
  }

  private mark(mark: MarkShown, there?: SVGGElement): SVGGElement {
    const [x, y] = this.viewer.at(mark.at);
    const group = there ?? this.made(mark);
    group.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    group.setAttribute("aria-label", `${mark.words}, column ${mark.at[0].toFixed(1)}, row ${mark.at[1].toFixed(1)}`);
    group.dataset["x"] = String(mark.at[0]);
    group.dataset["y"] = String(mark.at[1]);
    return group;
  }

  private made(mark: MarkShown): SVGGElement {
    const shape = mark.kind === "point" ? "M-8 0H-2M2 0H8M0 -8V-2M0 2V8" : "M-3 -3H3V3H-3Z";
    const group = svg("g", { class: `mark ${mark.kind}`, "data-mark": mark.id, tabindex: mark.still ? null : 0, role: mark.still ? "img" : "button" },
      svg("circle", { class: "body", r: 12 }), svg("path", { class: "under", d: shape }), svg("path", { class: "cross", d: shape }),
      mark.kind === "point" ? svg("text", { x: 11, y: -8 }, mark.words) : null);
    if (mark.still) return group;
    group.addEventListener("pointerdown", (event) => this.dragged(event, group, mark.id));
    group.addEventListener("keydown", (event) => this.pressed(event, group, mark.id));
    return group;
  }

  private dragged(down: PointerEvent, group: SVGGElement, id: string): void {
    if (down.button !== 0) return;
    down.preventDefault();
    down.stopPropagation();
    group.focus({ preventScroll: true });
    group.setPointerCapture(down.pointerId);
    const move = (event: PointerEvent): void => this.moved(id, this.viewer.held(this.viewer.pixel(this.viewer.inView(event))), false);
    const up = (event: PointerEvent): void => {
      group.removeEventListener("pointermove", move);
      group.removeEventListener("pointerup", up);
      group.removeEventListener("pointercancel", up);
      this.moved(id, this.viewer.held(this.viewer.pixel(this.viewer.inView(event))), true);
    };
    group.addEventListener("pointermove", move);
    group.addEventListener("pointerup", up);
    group.addEventListener("pointercancel", up);
  }

  private pressed(event: KeyboardEvent, group: SVGGElement, id: string): void {
    const step = WAYS[event.key];
    if (step) {
      const long = event.shiftKey ? LEAP : STEP;
      const at: Pixel = [Number(group.dataset["x"]) + step[0] * long, Number(group.dataset["y"]) + step[1] * long];
      this.moved(id, this.viewer.held(at), true);
    } else if (event.key === "Delete" || event.key === "Backspace") this.removed(id);
    else if (event.key === "Enter" || event.key === "Escape") this.viewer.focus();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}
