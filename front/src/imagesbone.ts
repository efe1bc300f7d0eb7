// Bone from CT: a mark in the head and one on the front of the tuberosity; sphere, shaft and chart with their misses.
import { html } from "./draw";
import { BoneLook } from "./imagesbonelook";
import { pixelOf } from "./imagesgeometry";
import type { LineShown, MarkShown } from "./imagesmarks";
import type { BoneSaid, BoneWish, PictureSaid, Pixel, Placed, Triple } from "./imageswire";
import { Latest } from "./latest";

const CORNERS = 72;

export interface BoneEvents { drawn(): void; accept(wish: BoneWish): Promise<void>; close(): void }

export class Bone {
  private head: Placed | null = null;
  private front: Placed | null = null;
  private picture: PictureSaid | null = null;
  private said: BoneSaid | null = null;
  private wrong = "";
  private busy = false;
  private readonly look3: BoneLook;
  private readonly latest: Latest<BoneWish, BoneSaid>;

  constructor(private readonly holder: HTMLElement, key: string, private readonly events: BoneEvents) {
    this.look3 = new BoneLook(key);
    this.latest = new Latest(`/api/cases/${key}/images/bone`, "bone", (said) => this.told(said, ""), (wrong) => this.told(null, wrong instanceof Error ? wrong.message : String(wrong)));
    this.draw();
  }

  restore(wish: BoneWish, kept: BoneSaid): void {
    [this.head, this.front] = [wish.head, wish.front];
    this.told(kept, "");
  }

  look(picture: PictureSaid): void {
    this.picture = picture;
    this.events.drawn();
  }

  click(at: Pixel): boolean {
    if (!this.picture) return false;
    const placed = { image: this.picture.image, frame: this.picture.frame, at };
    if (this.head) this.front = placed;
    else this.head = placed;
    this.want();
    this.draw();
    return true;
  }

  move(id: string, at: Pixel, rest: boolean): void {
    (id === "head" ? this.head! : this.front!).at = at;
    if (rest) this.want();
    this.events.drawn();
  }

  remove(id: string): void {
    if (id === "head") this.head = null;
    else this.front = null;
    this.told(null, "");
    this.want();
  }

  shown(): { marks: MarkShown[]; lines: LineShown[] } {
    const here = (one: Placed | null): one is Placed => one !== null && one.image === this.picture?.image && one.frame === this.picture.frame;
    const marks: MarkShown[] = [];
    if (here(this.head)) marks.push({ id: "head", words: "head", at: this.head.at, kind: "point" });
    if (here(this.front)) marks.push({ id: "front", words: "front of the tuberosity", at: this.front.at, kind: "point" });
    return { marks, lines: this.circle() };
  }

  /** Where the sphere cuts the slice that is looked at. */
  private circle(): LineShown[] {
    const [said, plane] = [this.said, this.picture?.place];
    if (!said || !plane) return [];
    const away = [0, 1, 2].map((i) => said.centre[i]! - plane.position[i]!) as Triple;
    const off = away[0] * plane.normal[0] + away[1] * plane.normal[1] + away[2] * plane.normal[2];
    if (Math.abs(off) >= said.radius) return [];
    const [x, y] = pixelOf(plane, said.centre);
    const radius = Math.sqrt(said.radius ** 2 - off ** 2);
    const points = Array.from({ length: CORNERS }, (_, i): Pixel => {
      const turn = (2 * Math.PI * i) / CORNERS;
      return [x + (radius * Math.cos(turn)) / plane.col_mm, y + (radius * Math.sin(turn)) / plane.row_mm];
    });
    return [{ points, close: true, kind: "outline", words: "" }];
  }

  private want(): void {
    if (!this.head) return;
    this.busy = true;
    this.latest.want({ head: this.head, front: this.front });
  }

  private told(said: BoneSaid | null, wrong: string): void {
    [this.said, this.wrong, this.busy] = [said, wrong, false];
    this.draw();
    if (said && this.head) this.look3.show({ head: this.head, front: this.front });
    else this.look3.hide();
  }

  private draw(): void {
    const accept = html("button", { type: "button", id: "bone-accept", class: "accept", disabled: !this.said || this.said.partial }, "Into the case: radius of the head");
    accept.addEventListener("click", () => void this.events.accept({ head: this.head!, front: this.front }).catch((wrong: unknown) => this.told(this.said, wrong instanceof Error ? wrong.message : String(wrong))));
    const other = html("button", { type: "button", id: "bone-other" }, "Other measures");
    other.addEventListener("click", () => {
      this.look3.hide();
      this.events.close();
    });
    this.holder.replaceChildren(
      html("h2", {}, "Bone from CT"),
      html("ol", { class: "steps" },
        html("li", { class: this.head ? "" : "now" }, html("b", {}, "head"), ": anywhere in the middle of the humeral head. ", html("span", { class: "set" }, this.head ? "Set." : "Click it on the picture.")),
        html("li", { class: this.head && !this.front ? "now" : "" }, html("b", {}, "front"), ": front edge of the greater tuberosity, beside the groove, at the footprint's outer edge. ", html("span", { class: "set" }, this.front ? "Set." : "Sets the chart onto the bone."))),
      ...(this.said ? answer(this.said) : this.busy ? [html("p", { class: "note" }, "Looking for the bone.")] : []),
      ...(this.wrong ? [html("p", { class: "wrong", role: "alert" }, `${this.wrong[0]!.toUpperCase()}${this.wrong.slice(1)}.`)] : []),
      this.look3.root, html("div", { class: "deeds" }, accept, other));
    this.events.drawn();
  }
}

function beyond(mm: number): string {
  return `${Math.abs(mm).toFixed(1)} mm ${mm < 0 ? "inside" : "outside"}`;
}

function answer(said: BoneSaid): HTMLElement[] {
  const chart = said.chart
    ? `Chart on the bone: over the footprint the real border lies ${beyond(said.chart.middle)} the chart's on average, SD ${said.chart.spread.toFixed(1)} mm, at most ${beyond(said.chart.widest)} it.`
    : `Chart: ${said.no_chart}.`;
  return [
    html("p", { class: "value" }, `Head radius ${said.radius.toFixed(1)} mm, SD ${said.sd.toFixed(1)} mm`),
    html("p", {}, `${Math.round(said.rays * 100)} % of the rays end on the sphere and miss it by ${said.miss.toFixed(2)} mm; surface of ${said.triangles} triangles around ${said.volume_cm3} cm³ within the scan.`),
    html("p", {}, said.shaft ? "The shaft's axis was found." : "No axis of the shaft."), html("p", {}, chart),
    ...said.incomplete.map((words) => html("p", { class: "caution-words" }, `Incomplete: ${words}.`)),
    html("p", { class: "note" }, `It does not tell ${said.cannot_know.join("; nor ")}. The circle on the slices is the sphere: look whether it fits.`),
  ];
}
