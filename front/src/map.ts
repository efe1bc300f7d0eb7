// The map: to scale, medial up, anterior on its side's edge, or turned; with graticule, scale bar and the four words.
import { svg, way } from "./draw";
import { keepTurn, keptTurn, quarters, turned, turnedEdges, type Edges, type Turn } from "./mapturn";
import type { Chart } from "./wire";

const MEDIAL_MM = 8;
const LATERAL_MM = 15;
const FRONT_MM = 5;
const BESIDE_MM = 6;
const RIM_PX = 26;
const GRATICULE_MM = 5;
const FINE_MM = 1;
const FINE_FROM_PX = 24;
const SCALE_MM = 10;
const NEAREST = 6;
const STEP = 1.4;

export type LayerName =
  "ground" | "terrain" | "tendon" | "pressure" | "gap" | "graticule" | "names" | "limbs" | "loads" | "reach" | "warnings" | "hand";
const LAYERS: readonly LayerName[] =
  ["ground", "terrain", "tendon", "pressure", "gap", "graticule", "names", "limbs", "loads", "reach", "warnings", "hand"];

export class RepairMap {
  readonly root: SVGSVGElement;
  readonly layer = {} as Record<LayerName, SVGGElement>;
  private scale = 10;
  private originX = 0;
  private originY = 0;
  private window: [number, number, number, number] = [0, 1, 0, 1];
  private readonly frame: SVGGElement;
  private zoom = 1;
  private centre: [number, number] | null = null;
  private lies = keptTurn();

  /** ``medial`` is how far the map reaches medial of the cartilage margin, mm. */
  constructor(holder: HTMLElement, public chart: Chart, public medial = MEDIAL_MM) {
    this.root = svg("svg", { class: "chart", role: "group", "aria-label": this.words() });
    for (const name of LAYERS) {
      this.layer[name] = svg("g", { class: `layer-${name}` });
      this.root.append(this.layer[name]);
    }
    this.frame = svg("g", { class: "frame", "aria-hidden": "true" });
    this.root.append(this.frame);
    holder.replaceChildren(this.root);
  }

  /**
   * Fit the map into its holder: the whole height of the tear and its wall, as much bone beside it as there is room;
   * nearer when it is zoomed.
   */
  fit(width: number, height: number): boolean {
    const { groove, strip } = this.chart;
    const [top, bottom] = [-this.medial, strip.edge + LATERAL_MM];
    const least = strip.width + 2 * BESIDE_MM;
    const [alongU, alongV] = this.sideways ? [height, width] : [width, height];
    const whole = Math.min((alongU - 2 * RIM_PX) / least, (alongV - 2 * RIM_PX) / (bottom - top));
    if (!(whole > 0)) return false;
    const drawnV = Math.min(alongV, (bottom - top) * whole + 2 * RIM_PX);
    const scale = whole * this.zoom;
    const [wide, high] = [(alongU - 2 * RIM_PX) / scale, (drawnV - 2 * RIM_PX) / scale];
    const leastU = Math.max(strip.front + strip.width / 2 - (alongU - 2 * RIM_PX) / whole / 2, groove - FRONT_MM);
    const [cu, cv] = this.centre ?? [leastU + wide / 2, top + high / 2];
    const u0 = this.zoom > 1 ? Math.min(Math.max(cu - wide / 2, leastU), leastU + (alongU - 2 * RIM_PX) / whole - wide) : leastU;
    const v0 = Math.min(Math.max(cv - high / 2, top), Math.max(top, bottom - high));
    this.window = [u0, u0 + wide, v0, v0 + high];
    this.scale = scale;
    [this.originX, this.originY] = [0, 0];
    const corners = [this.at(u0, v0), this.at(u0 + wide, v0 + high)] as const;
    this.originX = RIM_PX - Math.min(corners[0][0], corners[1][0]);
    this.originY = RIM_PX - Math.min(corners[0][1], corners[1][1]);
    const [shownWide, drawn] = this.sideways ? [drawnV, height] : [width, drawnV];
    this.root.setAttribute("viewBox", `0 0 ${shownWide} ${drawn}`);
    this.root.setAttribute("width", String(shownWide));
    this.root.setAttribute("height", String(drawn));
    this.root.setAttribute("aria-label", this.words());
    for (const name of LAYERS.slice(3)) {
      if (this.zoom > 1) this.layer[name].setAttribute("clip-path", "url(#map-window)");
      else this.layer[name].removeAttribute("clip-path");
    }
    this.drawFrame(shownWide, drawn);
    return true;
  }

  /** Nearer (above 1) or farther, keeping a place of the chart in the middle; the caller fits and draws anew. */
  nearer(factor: number, about: [number, number] | null = null): void {
    const [u0, u1, v0, v1] = this.window;
    this.zoom = Math.min(NEAREST, Math.max(1, this.zoom * factor));
    this.centre = this.zoom === 1 ? null : about ?? this.centre ?? [(u0 + u1) / 2, (v0 + v1) / 2];
  }

  /** Move the window over the chart by pixels. */
  pan(dx: number, dy: number): boolean {
    if (this.zoom === 1) return false;
    const [u0, u1, v0, v1] = this.window;
    const [du, dv] = this.way(dx, dy);
    this.centre = [(u0 + u1) / 2 - du / this.scale, (v0 + v1) / 2 - dv / this.scale];
    return true;
  }

  /** How the map lies; the caller fits and draws anew. */
  get turn(): Turn {
    return this.lies;
  }

  set turn(turn: Turn) {
    this.lies = turn;
    keepTurn(turn);
  }

  /** Whether medial lies at a side of the screen. */
  get sideways(): boolean {
    return this.quarters !== 0;
  }

  private get quarters(): -1 | 0 | 1 {
    return quarters(this.lies, this.chart.rightwards);
  }

  private get edges(): Edges {
    return turnedEdges(this.chart.edges, this.quarters);
  }

  /** The keys that come nearer and go farther; the factor, or null when the key is another. */
  static zoomOf(key: string): number | null {
    return key === "+" || key === "=" ? STEP : key === "-" ? 1 / STEP : key === "0" ? 0.01 : null;
  }

  get pixelsPerMm(): number {
    return this.scale;
  }

  /** Chart mm to map pixels. */
  at(u: number, v: number): [number, number] {
    const [x, y] = turned([this.chart.rightwards * u * this.scale, v * this.scale], this.quarters);
    return [this.originX + x, this.originY + y];
  }

  /** Map pixels to chart mm. */
  from(x: number, y: number): [number, number] {
    const [du, dv] = this.way(x - this.originX, y - this.originY);
    return [du / this.scale, dv / this.scale];
  }

  /** The way over the chart (u, v) that goes so far right and down on the screen. */
  way(right: number, down: number): [number, number] {
    const [x, y] = turned([right, down], -this.quarters as -1 | 0 | 1);
    return [x * this.chart.rightwards, y];
  }

  /** A pointer's place in chart mm. */
  under(event: MouseEvent, box = this.root.getBoundingClientRect()): [number, number] {
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
    const { edges } = this;
    return `Footprint to scale: ${edges.top} up, ${edges.bottom} down, ${edges.left} at the left edge, ${edges.right} at the right edge`;
  }

  private drawFrame(width: number, height: number): void {
    const { edges } = this;
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

  /** Distance of the net's lines, mm: finer when the map is near. */
  private get net(): number {
    return this.scale > FINE_FROM_PX ? FINE_MM : GRATICULE_MM;
  }

  private graticule(): SVGElement[] {
    const [u0, u1, v0, v1] = this.extent();
    const lines: SVGElement[] = [];
    const step = this.net;
    const each = (low: number, high: number, draw: (at: number) => void): void => {
      for (let at = Math.ceil(low / step) * step; at <= high; at += step) draw(at);
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
      svg("text", { x: x + long, y: y - 9, "text-anchor": "end" }, `${SCALE_MM} mm, net ${this.net} mm`),
      svg("text", { class: "arc-words", x: x + long, y: y - 26, "text-anchor": "end" }, "red arc: share of draws it gives way first"));
  }
}
