// The skin map: acromion, landmarks and portals laid flat, looked at from above and outside; portals are moved here.
import { SkinHand } from "./accessskinhand";
import { bodyWays, type Live, type Portal, type PortalPlace, type ShoulderShown, type Triple } from "./accesswire";
import { html, svg, way } from "./draw";

export type Flat = [number, number];
const SIZE: Flat = [400, 372];
const EDGE_PX = 20;
const LIFT = 0.62;

export class SkinMap {
  readonly root: SVGSVGElement;
  private readonly ground = svg("g", { class: "skin-ground" });
  private readonly nerve = svg("g", { class: "skin-nerve" });
  private readonly marks = svg("g", { class: "skin-portals" });
  private readonly across: Triple;
  private readonly upward: Triple;
  private readonly hand: SkinHand;
  private scale = 3;
  private middle: Flat = [0, 0];
  readonly words = html("p", { class: "hand" });

  constructor(holder: HTMLElement, private readonly shown: ShoulderShown, portals: Portal[], moves: { moving(place: PortalPlace): void; placed(place: PortalPlace): void; dropped(): void }) {
    const { up, forward, lateral } = bodyWays(shown);
    this.across = shown.side === "right" ? forward : (forward.map((x) => -x) as Triple);
    const [s, c] = [Math.sin(LIFT), Math.cos(LIFT)];
    this.upward = up.map((x, i) => c * x - s * lateral[i]!) as Triple;
    this.fit([...shown.outline, ...portals.map((p) => p.skin), ...Object.values(shown.landmarks)]);
    this.root = svg("svg", { class: "skin-map", viewBox: `0 0 ${SIZE[0]} ${SIZE[1]}`, role: "group", "aria-label": "Skin map: portals by their landmarks, from above and outside" }, this.ground, this.nerve, this.marks);
    this.hand = new SkinHand(this.root, this, moves);
    this.drawGround();
    holder.replaceChildren(html("h2", {}, "Skin map"), this.root, this.words);
    this.words.textContent = HINT;
  }

  flat(point: Triple): Flat {
    const [x, y] = this.plane(point);
    return [SIZE[0] / 2 + (x - this.middle[0]) * this.scale, SIZE[1] / 2 - (y - this.middle[1]) * this.scale];
  }

  /** A step in space as a step on the screen, px. */
  step(way: Triple): Flat {
    const [x, y] = this.plane(way);
    return [x * this.scale, -y * this.scale];
  }

  draw(live: Live, viewing: string): void {
    const { axillary } = live.nerves;
    const band = axillary.curve.map((p) => this.flat(p));
    this.nerve.replaceChildren(
      svg("path", { class: "nerve-band", d: way(band), "stroke-width": 2 * axillary.radius * this.scale }),
      svg("path", { class: "nerve-curve", d: way(band) }),
      svg("path", { class: "nerve-floor", d: way(axillary.floor.map((p) => this.flat(p))) }),
      svg("text", { class: "nerve-words", x: SIZE[0] / 2, y: Math.min(SIZE[1] - 26, Math.max(...band.map((p) => p[1])) + axillary.radius * this.scale + 14), "text-anchor": "middle" }, "axillary nerve, 9 in 10"));
    if (!this.hand.busy) this.hand.draw(this.marks, live.portals, viewing);
    else this.hand.refresh(live.portals);
  }

  tell(words: string | null): void {
    this.words.textContent = words ?? HINT;
  }

  private plane(point: Triple): Flat {
    const dot = (way: Triple): number => point[0] * way[0] + point[1] * way[1] + point[2] * way[2];
    return [dot(this.across), dot(this.upward)];
  }

  private fit(points: Triple[]): void {
    const flat = points.map((p) => this.plane(p));
    const span = (axis: 0 | 1): [number, number] => [Math.min(...flat.map((p) => p[axis])), Math.max(...flat.map((p) => p[axis]))];
    const [x, y] = [span(0), span(1)];
    this.middle = [(x[0] + x[1]) / 2, (y[0] + y[1]) / 2 - 6];
    this.scale = Math.min((SIZE[0] - 6 * EDGE_PX) / (x[1] - x[0]), (SIZE[1] - 5 * EDGE_PX) / (y[1] - y[0] + 14));
  }

  private drawGround(): void {
    const rods = this.shown.rods.map((rod) => svg("path", { class: "skin-rod", d: way(rod.ends.map((p) => this.flat(p))), "stroke-width": 2 * rod.radius * this.scale }));
    const ahead = this.shown.side === "right" ? 1 : -1;
    const landmarks = Object.entries(this.shown.landmarks).map(([words, at]) => {
      const [x, y] = this.flat(at);
      return svg("g", { class: "landmark" }, svg("path", { d: `M${x - 6} ${y}H${x + 6}M${x} ${y - 6}V${y + 6}` }), name(words, x, y, ahead));
    });
    const [front, behind] = this.shown.side === "right" ? [SIZE[0] - 14, 14] : [14, SIZE[0] - 14];
    const word = (text: string, x: number, turn: number): SVGElement => svg("text", { class: "edge-word", x, y: SIZE[1] / 2, "text-anchor": "middle", transform: `rotate(${turn} ${x} ${SIZE[1] / 2})` }, text);
    const ten = 10 * this.scale;
    this.ground.replaceChildren(
      svg("rect", { class: "rim", x: 0.5, y: 0.5, width: SIZE[0] - 1, height: SIZE[1] - 1, rx: 4 }),
      ...rods,
      svg("path", { class: "skin-acromion", d: way(this.shown.outline.map((p) => this.flat(p)), true) }),
      svg("path", { class: "skin-edge", d: way(this.shown.edge.map((p) => this.flat(p))) }),
      ...landmarks, word("anterior", front, this.shown.side === "right" ? 90 : -90), word("posterior", behind, this.shown.side === "right" ? -90 : 90),
      svg("text", { class: "edge-word", x: SIZE[0] / 2, y: 18, "text-anchor": "middle" }, "medial"),
      svg("text", { class: "edge-word", x: SIZE[0] / 2, y: SIZE[1] - 8, "text-anchor": "middle" }, "lateral"),
      svg("g", { class: "scale" }, svg("path", { d: `M34 ${SIZE[1] - 24}v8m0 -4h${ten}m0 -4v8` }), svg("text", { x: 34, y: SIZE[1] - 30 }, "1 cm")));
  }
}

const HINT = "Drag a portal, or Tab to it and use the arrows: 1 mm, Shift 5 mm; Escape takes it back. Ring: one SD of the stab.";

/** A landmark's name, written to the side where no portal lies. */
function name(words: string, x: number, y: number, ahead: number): SVGTextElement {
  const forward = words.startsWith("coracoid");
  if (words.startsWith("posterolateral")) return svg("text", { x: Math.min(SIZE[0] - 70, Math.max(70, x)), y: y - 12, "text-anchor": "middle" }, words);
  return svg("text", { x, y: y + 19, "text-anchor": (ahead > 0) === forward ? "start" : "end" }, words);
}
