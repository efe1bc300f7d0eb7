// The other planes beside the stack, each with the line of the slice that is shown; a click there turns the stack.
import { html, svg, way } from "./draw";
import { cutOf, nearest, patientPoint, pixelOf } from "./imagesgeometry";
import { Paint } from "./imagespaint";
import type { Slices } from "./imagesslices";
import type { Pixel, Plane, SeriesSaid, Triple } from "./imageswire";

const WIDE = 210;

export class Beside {
  private readonly paint = new Paint();
  private round = 0;
  shown: { series: SeriesSaid; index: number }[] = [];

  constructor(
    private readonly holder: HTMLElement,
    private readonly slices: Slices,
    private readonly point: (at: Triple) => void,
    private readonly open: (series: SeriesSaid, index: number) => void,
  ) {}

  /** Draw the planes that cut the slice of ``plane`` as they pass through a point of the patient. */
  async draw(plane: Plane | null, others: SeriesSaid[], through: Triple | null): Promise<void> {
    const round = ++this.round;
    this.shown = through ? others.map((one) => ({ series: one, index: nearest(one, through) })) : [];
    if (!plane || !through) {
      this.holder.replaceChildren();
      return;
    }
    const views = await Promise.all(this.shown.map(({ series: one, index }) => this.view(one, index, plane, through)));
    if (round === this.round) this.holder.replaceChildren(...views);
  }

  private async view(one: SeriesSaid, index: number, plane: Plane, through: Triple): Promise<HTMLElement> {
    const high = Math.round((WIDE * one.rows * one.aspect) / one.columns);
    const canvas = html("canvas", { width: WIDE, height: high, "aria-hidden": "true" });
    const slice = await this.slices.get(one.number, index).catch(() => null);
    if (slice) {
      this.paint.draw(slice, one.columns, one.rows, slice.window ?? { centre: 128, width: 256, function: "LINEAR" }, false);
      canvas.getContext("2d")?.drawImage(this.paint.canvas, 0, 0, WIDE, high);
    }
    const its = one.pictures[index]!.place!;
    const at = ([x, y]: Pixel): Pixel => [((x + 0.5) * WIDE) / one.columns, ((y + 0.5) * high) / one.rows];
    const cut = cutOf(its, plane, one.columns, one.rows);
    const [px, py] = at(pixelOf(its, through));
    const lines = svg("svg", { viewBox: `0 0 ${WIDE} ${high}`, width: WIDE, height: high, "aria-hidden": "true" },
      ...(cut ? [svg("path", { class: "line under", d: way(cut.map(at)) }), svg("path", { class: "line cut", d: way(cut.map(at)) })] : []),
      svg("circle", { class: "through", cx: px, cy: py, r: 4 }));
    const picture = html("div", { class: "beside-picture" }, canvas, lines);
    picture.addEventListener("click", (event) => {
      const box = picture.getBoundingClientRect();
      const pixel: Pixel = [((event.clientX - box.left) / WIDE) * one.columns - 0.5, ((event.clientY - box.top) / high) * one.rows - 0.5];
      this.point(patientPoint(its, pixel));
    });
    const button = html("button", { type: "button", class: "small-button" }, `Series ${one.number + 1}, slice ${index + 1}: show large`);
    button.addEventListener("click", () => this.open(one, index));
    return html("figure", {}, picture, html("figcaption", {}, button));
  }
}
