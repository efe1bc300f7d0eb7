// The tear outlined on slices: head, shaft and front set the bone into the patient, two ends a slice make the outline.
import { html, svg, way } from "./draw";
import type { LineShown, MarkShown } from "./imagesmarks";
import type { OutlineSaid, OutlineWish, PictureSaid, Pixel, Placed } from "./imageswire";
import { Latest } from "./latest";
import type { Chart } from "./wire";

type Part = "head" | "shaft" | "front" | "tear front" | "tear back";
const PARTS: [Part, string][] = [
  ["head", "round edge of the head, four places or more on two slices or more"],
  ["shaft", "middle of the shaft, as far down as it is seen"],
  ["front", "front edge of the greater tuberosity, beside the groove, at the footprint's outer edge"],
  ["tear front", "on each slice: where tendon stops in front"],
  ["tear back", "on each slice: where tendon begins again behind"],
];
const LEAST_HEAD = 4;

export interface OutlineEvents { drawn(): void; accept(wish: OutlineWish): Promise<void>; close(): void; focus(id: string): void }

export class Outline {
  private part: Part = "head";
  private head: Placed[] = [];
  private single: Partial<Record<"shaft" | "front", Placed>> = {};
  private ends = new Map<string, { picture: PictureSaid; front: Pixel | null; back: Pixel | null }>();
  private picture: PictureSaid | null = null;
  private said: OutlineSaid | null = null;
  private wrong = "";
  private readonly latest: Latest<OutlineWish, OutlineSaid>;

  constructor(private readonly holder: HTMLElement, key: string, private readonly chart: Chart | null, private readonly events: OutlineEvents) {
    this.latest = new Latest(`/api/cases/${key}/images/outline`, "outline", (said) => this.told(said, ""), (wrong) => this.told(null, wrong instanceof Error ? wrong.message : String(wrong)));
    this.draw();
  }

  /** Put back the marks of an outline that was accepted. */
  restore(wish: OutlineWish, kept: OutlineSaid): void {
    this.head = wish.head;
    this.single = { shaft: wish.shaft, front: wish.front };
    for (const { image, frame, front, back } of wish.slices) this.ends.set(`${image}/${frame}`, { picture: { image, frame, name: "", place: null }, front, back });
    this.told(kept, "");
  }

  look(picture: PictureSaid): void {
    this.picture = picture;
    this.draw();
  }

  click(at: Pixel): boolean {
    const picture = this.picture;
    if (!picture) return false;
    const placed = { image: picture.image, frame: picture.frame, at };
    if (this.part === "head") this.head.push(placed);
    else if (this.part === "shaft" || this.part === "front") {
      this.single[this.part] = placed;
      this.part = this.part === "shaft" ? "front" : "tear front";
    } else {
      const held = this.here() ?? { picture, front: null, back: null };
      held[this.part === "tear front" ? "front" : "back"] = at;
      this.ends.set(this.name(picture), held);
      this.part = this.part === "tear front" ? "tear back" : "tear front";
    }
    this.want();
    this.draw();
    return true;
  }

  move(id: string, at: Pixel, _rest: boolean): void {
    const [kind, which] = id.split("/") as [string, string | undefined];
    if (kind === "head") this.head[Number(which)]!.at = at;
    else if (kind === "shaft" || kind === "front") this.single[kind]!.at = at;
    else this.here()![kind === "tear front" ? "front" : "back"] = at;
    this.want();
    this.events.drawn();
  }

  remove(id: string): void {
    const [kind, which] = id.split("/") as [string, string | undefined];
    if (kind === "head") this.head.splice(Number(which), 1);
    else if (kind === "shaft" || kind === "front") delete this.single[kind];
    else {
      const held = this.here()!;
      held[kind === "tear front" ? "front" : "back"] = null;
      if (!held.front && !held.back) this.ends.delete(this.name(this.picture!));
    }
    this.want();
    this.draw();
  }

  shown(): { marks: MarkShown[]; lines: LineShown[] } {
    const here = ({ image, frame }: Placed): boolean => image === this.picture?.image && frame === this.picture.frame;
    const marks: MarkShown[] = this.head.flatMap((one, i): MarkShown[] => here(one) ? [{ id: `head/${i}`, words: `head ${i + 1}`, at: one.at, kind: "corner" }] : []);
    for (const name of ["shaft", "front"] as const) {
      const one = this.single[name];
      if (one && here(one)) marks.push({ id: name, words: name === "front" ? "front of the tuberosity" : "shaft", at: one.at, kind: "point" });
    }
    const held = this.here();
    if (held?.front) marks.push({ id: "tear front", words: "tear, front", at: held.front, kind: "point" });
    if (held?.back) marks.push({ id: "tear back", words: "tear, back", at: held.back, kind: "point" });
    const lines: LineShown[] = held?.front && held.back ? [{ points: [held.front, held.back], close: false, kind: "straight" }] : [];
    return { marks, lines };
  }

  private name(picture: PictureSaid): string {
    return `${picture.image}/${picture.frame}`;
  }

  private here(): { picture: PictureSaid; front: Pixel | null; back: Pixel | null } | undefined {
    return this.picture ? this.ends.get(this.name(this.picture)) : undefined;
  }

  private wish(): OutlineWish | null {
    const { shaft, front } = this.single;
    const slices = [...this.ends.values()].map((one) => ({ image: one.picture.image, frame: one.picture.frame, front: one.front, back: one.back }));
    if (!shaft || !front || this.head.length < LEAST_HEAD || slices.length < 2) return null;
    return { head: this.head, shaft, front, slices };
  }

  private want(): void {
    const wish = this.wish();
    if (wish) this.latest.want(wish);
  }

  private told(said: OutlineSaid | null, wrong: string): void {
    [this.said, this.wrong] = [said, wrong];
    this.draw();
  }

  private draw(): void {
    const count: Record<Part, string> = {
      head: `${this.head.length} set`, shaft: this.single.shaft ? "set" : "", front: this.single.front ? "set" : "",
      "tear front": `${[...this.ends.values()].filter((one) => one.front).length} slices`, "tear back": `${[...this.ends.values()].filter((one) => one.back).length} slices`,
    };
    const focused = (document.activeElement as HTMLElement | null)?.id;
    const choices = PARTS.map(([part, words], i) => {
      const input = html("input", { type: "radio", name: "outline-part", id: `part-${i}`, checked: part === this.part });
      input.addEventListener("change", () => (this.part = part));
      return html("li", {}, html("label", { for: `part-${i}` }, input, html("span", {}, html("b", {}, part), `: ${words}. `, html("span", { class: "set" }, count[part]))));
    });
    const accept = html("button", { type: "button", id: "outline-accept", class: "accept", disabled: !this.said }, "Into the case: width, front and retraction");
    accept.addEventListener("click", () => void this.events.accept(this.wish()!).catch((wrong: unknown) => this.told(this.said, wrong instanceof Error ? wrong.message : String(wrong))));
    const other = html("button", { type: "button", id: "outline-other" }, "Other measures");
    other.addEventListener("click", () => this.events.close());
    this.holder.replaceChildren(
      html("h2", {}, "Outline of the tear over slices"),
      html("p", { class: "note" }, "Choose what the next click sets. Ends may be left out on slices that leave the footprint first."),
      html("ul", { class: "parts-list" }, ...choices),
      ...(this.said ? this.answer(this.said) : []),
      ...(this.wrong ? [html("p", { class: "wrong", role: "alert" }, `${this.wrong[0]!.toUpperCase()}${this.wrong.slice(1)}.`)] : []),
      html("div", { class: "deeds" }, accept, other));
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
    this.events.drawn();
  }

  private answer(said: OutlineSaid): HTMLElement[] {
    const words: Record<string, string> = { "tear.width_mm": "Width", "tear.front_mm": "Front edge", "tear.retraction_mm": "Retraction", "footprint.head_radius_mm": "Head radius" };
    return [
      this.chart ? chartOf(this.chart, said) : html("p", { class: "note" }, "The chart of this case is not ready."),
      html("ul", {}, ...said.fills.map((one) => html("li", {}, `${words[one.field] ?? one.field}: ${one.value.toFixed(1)} mm, SD ${one.sd.toFixed(1)} mm`))),
      html("p", { class: "note" }, `Head: sphere of ${said.head.radius.toFixed(1)} mm, SD ${said.head.sd.toFixed(1)}; its marks miss it by ${said.head.miss.toFixed(2)} mm. It does not tell ${said.cannot_know.join("; nor ")}.`),
    ];
  }
}

/** The outline on the chart with its band, medial up, to scale. */
export function chartOf(chart: Chart, said: OutlineSaid): HTMLElement {
  const [wide, high] = [330, 240];
  const us = said.outline.map(([u]) => u);
  const vs = said.outline.map(([, v]) => v);
  const [u0, u1] = [Math.min(...us, 0) - 6, Math.max(...us, chart.strip.front + chart.strip.width) + 6];
  const [v0, v1] = [Math.min(...vs, 0) - 5, Math.max(...vs, chart.strip.edge) + 5];
  const scale = Math.min(wide / (u1 - u0), high / (v1 - v0));
  const at = ([u, v]: readonly [number, number]): Pixel => [chart.rightwards > 0 ? (u - u0) * scale : wide - (u - u0) * scale, (v - v0) * scale];
  const lines = chart.terrain.filter((one) => one.kind === "line" && ["cartilage margin", "lateral edge"].includes(one.name));
  const wider = (sign: number): Pixel[] => said.outline.map(([u, v], i) => at([u + (i < said.outline.length / 2 ? -sign : sign) * 1.64 * said.sd_u[i]!, v]));
  return html("figure", { class: "outline-chart" },
    svg("svg", { viewBox: `0 0 ${wide} ${high}`, width: wide, height: high, role: "img", "aria-label": "The tear on the chart with the band that holds it in 9 of 10 draws; its numbers are told below" },
      ...lines.map((one) => svg("path", { class: "chart-line", d: way(one.points.map(at)) })),
      svg("path", { class: "band", "fill-rule": "evenodd", d: way(wider(1), true) + way(wider(-1), true) }),
      svg("path", { class: "torn", d: way(said.outline.map(at), true) }),
      svg("text", { x: wide / 2, y: 12, "text-anchor": "middle" }, chart.edges.top), svg("text", { x: wide / 2, y: high - 4, "text-anchor": "middle" }, chart.edges.bottom),
      svg("text", { x: 4, y: high / 2 }, chart.edges.left), svg("text", { x: wide - 4, y: high / 2, "text-anchor": "end" }, chart.edges.right),
      svg("path", { class: "scale-bar", d: `M10 ${high - 12}h${10 * scale}` }), svg("text", { x: 10, y: high - 16 }, "10 mm")),
    html("figcaption", { class: "note" }, "Outline on the chart; the band holds it front and back in 9 of 10 draws."));
}
