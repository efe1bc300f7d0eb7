// The map: to scale, medial up, anterior on its side's edge, with graticule, scale bar and the four words.
import { svg, way } from "./draw";
import type { Chart } from "./wire";

const MEDIAL_MM = 8;
const LATERAL_MM = 15;
const FRONT_MM = 5;
const BESIDE_MM = 6;
const RIM_PX = 26;
const GRATICULE_MM = 5;
const SCALE_MM = 10;

export type LayerName =
  "ground" | "terrain" | "tendon" | "pressure" | "gap" | "graticule" | "names" | "limbs" | "loads" | "warnings" | "hand";
const LAYERS: readonly LayerName[] =
  ["ground", "terrain", "tendon", "pressure", "gap", "graticule", "names", "limbs", "loads", "warnings", "hand"];

export class RepairMap {
  readonly root: SVGSVGElement;
  readonly layer = {} as Record<LayerName, SVGGElement>;
  private scale = 10;
  private originX = 0;
  private originY = 0;
  private window: [number, number, number, number] = [0, 1, 0, 1];
  private readonly frame: SVGGElement;

  constructor(holder: HTMLElement, readonly chart: Chart) {
    this.root = svg("svg", { class: "chart", role: "group", "aria-label": this.words() });
    for (const name of LAYERS) {
      this.layer[name] = svg("g", { class: `layer-${name}` });
      this.root.append(this.layer[name]);
    }
    this.frame = svg("g", { class: "frame", "aria-hidden": "true" });
    this.root.append(this.frame);
    holder.replaceChildren(this.root);
  }

  /** Fit the map into its holder: the whole height of the tear and its wall, as much bone beside it as there is room. */
  fit(width: number, height: number): boolean {
    const { groove, strip } = this.chart;
    const [v0, v1] = [-MEDIAL_MM, strip.edge + LATERAL_MM];
    const least = strip.width + 2 * BESIDE_MM;
    const scale = Math.min((width - 2 * RIM_PX) / least, (height - 2 * RIM_PX) / (v1 - v0));
    if (!(scale > 0)) return false;
    const wide = (width - 2 * RIM_PX) / scale;
    const u0 = Math.max(strip.front + strip.width / 2 - wide / 2, groove - FRONT_MM);
    this.window = [u0, u0 + wide, v0, v1];
    this.scale = scale;
    this.originX = this.chart.rightwards > 0 ? RIM_PX - u0 * scale : width - RIM_PX + u0 * scale;
    this.originY = RIM_PX - v0 * scale;
    const drawn = Math.min(height, (v1 - v0) * scale + 2 * RIM_PX);
    this.root.setAttribute("viewBox", `0 0 ${width} ${drawn}`);
    this.root.setAttribute("width", String(width));
    this.root.setAttribute("height", String(drawn));
    this.drawFrame(width, drawn);
    return true;
  }

  get pixelsPerMm(): number {
    return this.scale;
  }

  /** Chart mm to map pixels. */
  at(u: number, v: number): [number, number] {
    return [this.originX + this.chart.rightwards * u * this.scale, this.originY + v * this.scale];
  }

  /** Map pixels to chart mm. */
  from(x: number, y: number): [number, number] {
    return [(x - this.originX) / (this.chart.rightwards * this.scale), (y - this.originY) / this.scale];
  }

  /** A pointer's place in chart mm. */
  under(event: MouseEvent): [number, number] {
    const box = this.root.getBoundingClientRect();
    const view = this.root.viewBox.baseVal;
    const [sx, sy] = [view.width / box.width, view.height / box.height];
    return this.from((event.clientX - box.left) * sx, (event.clientY - box.top) * sy);
  }

  path(points: readonly (readonly [number, number])[], close = false): string {
    return way(points.map(([u, v]) => this.at(u, v)), close);
  }

  /** Chart mm that are shown: front, back, medial, lateral. */
  extent(): [number, number, number, number] {
    return this.window;
  }

  private words(): string {
    const { edges } = this.chart;
    return `Footprint to scale: ${edges.top} up, ${edges.bottom} down, ${edges.left} at the left edge, ${edges.right} at the right edge`;
  }

  private drawFrame(width: number, height: number): void {
    const { edges } = this.chart;
    const word = (text: string, x: number, y: number, turn = 0): SVGTextElement =>
      svg("text", { class: "edge-word", x, y, "text-anchor": "middle", transform: turn ? `rotate(${turn} ${x} ${y})` : null }, text);
    this.frame.replaceChildren(
      svg("rect", { class: "rim", x: 0.5, y: 0.5, width: width - 1, height: height - 1, rx: 4 }),
      word(edges.top, width / 2, 18),
      word(edges.bottom, width / 2, height - 8),
      word(edges.left, 16, height / 2, -90),
      word(edges.right, width - 16, height / 2, 90),
      this.scaleBar(width, height),
    );
    this.layer.graticule.replaceChildren(...this.graticule());
  }

  private graticule(): SVGElement[] {
    const [u0, u1, v0, v1] = this.extent();
    const lines: SVGElement[] = [];
    const each = (low: number, high: number, draw: (at: number) => void): void => {
      for (let at = Math.ceil(low / GRATICULE_MM) * GRATICULE_MM; at <= high; at += GRATICULE_MM) draw(at);
    };
    each(u0, u1, (u) => lines.push(svg("path", { d: this.path([[u, v0], [u, v1]]) })));
    each(v0, v1, (v) => lines.push(svg("path", { d: this.path([[u0, v], [u1, v]]) })));
    return lines;
  }

  private scaleBar(width: number, height: number): SVGElement {
    const long = SCALE_MM * this.scale;
    const [x, y] = [width - RIM_PX - 8 - long, height - RIM_PX - 10];
    return svg("g", { class: "scale" },
      svg("path", { d: `M${x} ${y - 5}V${y + 5}M${x} ${y}H${x + long}M${x + long} ${y - 5}V${y + 5}` }),
      svg("text", { x: x + long, y: y - 9, "text-anchor": "end" }, `${SCALE_MM} mm, net ${GRATICULE_MM} mm`),
      svg("text", { class: "arc-words", x: x + long, y: y - 26, "text-anchor": "end" }, "red arc: share of draws it gives way first"));
  }
}
