// A guided measure: chosen from a list, marked with its sketch beside, its value live, accepted into the case.
import { html } from "./draw";
import { drawing, steps } from "./imagesdrawing";
import { drawReading } from "./imagesreading";
import { ScalePanel } from "./imagesscale";
import type { LineShown, MarkShown } from "./imagesmarks";
import type { GuideSaid, ImagesBoard, MarkSaid, MeasureWish, Pixel, PictureSaid, ReadingSaid, Round, ScaleSaid, SeriesSaid, TakenSaid } from "./imageswire";
import { Latest } from "./latest";
import { ask } from "./wire";

const FOLLOWED = ["fossa", "muscle"];
const PROJECTIONS = ["CR", "DX", "RG"];

export interface MeasureEvents {
  drawn(): void;
  accept(wish: MeasureWish): Promise<void>;
  outline(): void;
  bone(): void;
  focus(id: string): void;
}

export class Measure {
  guide: GuideSaid | null = null;
  readonly scale = new ScalePanel(() => this.draw());
  private rounds: Round[] = [{}];
  private clicks: Record<string, Pixel[]> = {};
  private closed = new Set<string>();
  private at: PictureSaid | null = null;
  private series: SeriesSaid | null = null;
  private picture: PictureSaid | null = null;
  private said: ReadingSaid | null = null;
  private wrong = "";
  private confirmed = false;
  private follow = true;
  private fit = true;
  private readonly latest: Latest<MeasureWish, ReadingSaid>;

  constructor(private readonly holder: HTMLElement, private readonly key: string, private board: ImagesBoard, private readonly events: MeasureEvents) {
    this.latest = new Latest(`/api/cases/${key}/images/measure`, "measure", (said) => this.told(said, ""), (wrong) => this.told(null, wrong instanceof Error ? wrong.message : String(wrong)));
  }

  renew(board: ImagesBoard): void {
    this.board = board;
    this.draw();
  }

  /** Another picture is looked at. */
  look(series: SeriesSaid, picture: PictureSaid): void {
    const other = this.picture?.image !== picture.image;
    const projection = PROJECTIONS.includes(series.modality) && series !== this.series;
    [this.series, this.picture] = [series, picture];
    if (other && projection) this.scale.scale = this.keptScale(series, picture);
    this.draw();
  }

  /** The scale with which a reading was taken on this picture before. */
  private keptScale(series: SeriesSaid, picture: PictureSaid): ScaleSaid | null {
    const here = (one: TakenSaid): boolean => one.spot !== null && this.board.series[one.spot.series] === series && series.pictures[one.spot.index] === picture;
    const kept = [...this.board.readings].reverse().find((one) => one.scale && here(one))?.scale;
    if (!kept) return null;
    if (kept.drawn_px > 0) return { kind: "object", known: kept.known, start: kept.start, end: kept.end, known_mm: kept.known_mm };
    const factor = Number(((series.spacing[0] ?? 0) / kept.scale.row_mm).toFixed(6));
    return { kind: "magnification", known: kept.known, factor, sd: Number((kept.relative_sd * factor).toFixed(6)) };
  }

  choose(guide: GuideSaid | null): void {
    this.guide = guide;
    this.startOver();
  }

  /** A click on the picture; true when it was used. */
  click(at: Pixel): boolean {
    if (this.scale.click(at)) return true;
    const [mark, picture] = [this.now(), this.picture];
    if (!mark || !picture) return false;
    if (this.at && this.at !== picture && !this.same(picture)) {
      this.told(null, `the marks of one measure lie on one picture; they were begun on ${this.where(this.at)}: turn back or start over`);
      return true;
    }
    this.at = picture;
    if (mark.corners === 1) this.round()[mark.name] = [at];
    else (this.clicks[mark.name] ??= []).push(at);
    if (mark.corners > 1) void this.traced(mark);
    this.want();
    const id = mark.corners === 1 ? mark.name : `${mark.name}/${this.clicks[mark.name]!.length - 1}`;
    this.draw();
    this.events.focus(id);
    return true;
  }

  move(id: string, at: Pixel): void {
    const [name, corner] = id.split("/") as [string, string | undefined];
    if (corner === undefined) this.round()[name] = [at];
    else {
      this.clicks[name]![Number(corner)] = at;
      const mark = this.guide?.marks.find((one) => one.name === name);
      if (mark) void this.traced(mark);
    }
    this.want();
    this.events.drawn();
  }

  remove(id: string): void {
    const [name, corner] = id.split("/") as [string, string | undefined];
    if (corner === undefined) delete this.round()[name];
    else {
      this.clicks[name]!.splice(Number(corner), 1);
      this.closed.delete(name);
      const mark = this.guide?.marks.find((one) => one.name === name);
      if (mark) void this.traced(mark);
    }
    this.said = null;
    this.want();
    this.draw();
  }

  /** The marks and lines that belong on the picture that is looked at. */
  shown(): { marks: MarkShown[]; lines: LineShown[] } {
    const ends = (this.scale.ends ?? []).map((at, i): MarkShown => ({ id: `end/${i}`, words: "end of the object", at, kind: "point", still: true }));
    const scale = this.scale.scale;
    const known: LineShown[] = scale?.start && scale.end ? [{ points: [scale.start, scale.end], close: false, kind: "straight", words: scale.known }] : [];
    if (!this.guide || !this.at || !this.same(this.picture)) return { marks: ends, lines: known };
    const marks: MarkShown[] = this.guide.marks.flatMap((mark): MarkShown[] => {
      if (mark.corners > 1) return (this.clicks[mark.name] ?? []).map((at, i) => ({ id: `${mark.name}/${i}`, words: `${mark.name.replaceAll("_", " ")}, corner ${i + 1}`, at, kind: "corner" }));
      const at = this.round()[mark.name]?.[0];
      return at ? [{ id: mark.name, words: mark.name.replaceAll("_", " "), at, kind: "point" }] : [];
    });
    const lines: LineShown[] = this.guide.marks.filter((mark) => mark.corners > 1 && this.isOutline(mark) && this.round()[mark.name])
      .map((mark) => ({ points: this.round()[mark.name]!, close: this.closed.has(mark.name), kind: "outline" }));
    const points = marks.filter((mark) => mark.kind === "point").map((mark) => mark.at);
    if (points.length === 2 && this.guide.marks.length === 2) lines.push({ points, close: false, kind: "straight" });
    return { marks: [...marks, ...ends], lines: [...lines, ...known] };
  }

  private same(picture: PictureSaid | null): boolean {
    return picture !== null && this.at !== null && picture.image === this.at.image && picture.frame === this.at.frame;
  }

  private where(picture: PictureSaid): string {
    for (const one of this.board.series) {
      const i = one.pictures.findIndex((other) => other.image === picture.image && other.frame === picture.frame);
      if (i >= 0) return `series ${one.number + 1}, slice ${i + 1}`;
    }
    return "another picture";
  }

  private round(): Round {
    return this.rounds[this.rounds.length - 1]!;
  }

  private isOutline(mark: MarkSaid): boolean {
    return !mark.words.startsWith("five places");
  }

  /** The mark to set now: the first required one that lacks, then the optional ones. */
  private now(): MarkSaid | null {
    const lacks = (mark: MarkSaid): boolean => mark.corners === 1 ? !this.round()[mark.name] : !this.closed.has(mark.name);
    return this.guide?.marks.find((mark) => lacks(mark) && !mark.optional) ?? this.guide?.marks.find(lacks) ?? null;
  }

  private whole(): boolean {
    return this.guide?.marks.every((mark) => mark.optional || (this.round()[mark.name]?.length ?? 0) >= mark.corners) ?? false;
  }

  private async traced(mark: MarkSaid): Promise<void> {
    const clicks = this.clicks[mark.name] ?? [];
    const closed = this.closed.has(mark.name);
    this.put(mark, clicks.map((at) => at));
    if (!this.follow || !FOLLOWED.includes(mark.name) || this.guide?.name !== "occupation_ratio" || clicks.length < 2 || !this.at) return;
    try {
      const wish = { image: this.at.image, frame: this.at.frame, clicks, closed };
      const { outline } = await ask<{ outline: Pixel[] }>(`/api/cases/${this.key}/images/edge`, wish);
      if (this.clicks[mark.name] === clicks && clicks.length === wish.clicks.length) this.put(mark, outline);
    } catch (wrong) {
      this.told(null, wrong instanceof Error ? wrong.message : String(wrong));
    }
    this.want();
    this.events.drawn();
  }

  private put(mark: MarkSaid, points: Pixel[]): void {
    if (points.length) this.round()[mark.name] = points;
    else delete this.round()[mark.name];
  }

  private wish(): MeasureWish | null {
    if (!this.guide || !this.at || !this.whole()) return null;
    return { guide: this.guide.name, image: this.at.image, frame: this.at.frame, rounds: this.rounds, scale: this.scale.scale, confirmed: this.confirmed, fitted: this.fitting() };
  }

  /** On MR the head's radius is better read by the circle fitted to the bone's edge near the marks. */
  private fitting(): boolean {
    return this.fit && this.guide?.name === "head_radius" && this.series?.modality === "MR";
  }

  private want(): void {
    const wish = this.wish();
    if (wish) this.latest.want(wish);
  }

  private told(said: ReadingSaid | null, wrong: string): void {
    [this.said, this.wrong] = [said, wrong];
    this.draw();
  }

  private startOver(): void {
    this.latest.stop();
    [this.rounds, this.clicks, this.closed, this.at, this.said, this.wrong] = [[{}], {}, new Set(), null, null, ""];
    this.draw();
  }

  private again(): void {
    this.rounds.push({});
    [this.clicks, this.closed] = [{}, new Set()];
    this.draw();
  }

  private back(): void {
    const last = [...(this.guide?.marks ?? [])].reverse().find((mark) => this.round()[mark.name] || this.clicks[mark.name]?.length);
    if (!last) return;
    this.closed.delete(last.name);
    this.remove(last.corners === 1 ? last.name : `${last.name}/${(this.clicks[last.name]?.length ?? 1) - 1}`);
  }

  private close(mark: MarkSaid): void {
    this.closed.add(mark.name);
    void this.traced(mark);
    this.want();
    this.draw();
  }

  // Drawing

  private draw(): void {
    const focused = (document.activeElement as HTMLElement | null)?.id;
    this.holder.replaceChildren(...(this.guide ? this.marking(this.guide) : this.list()));
    if (focused && this.holder.querySelector(`#${CSS.escape(focused)}`)) document.getElementById(focused)?.focus({ preventScroll: true });
    this.events.drawn();
  }

  private list(): HTMLElement[] {
    const rows = this.board.guides.map((guide) => {
      const why = this.hindered(guide);
      const button = html("button", { type: "button", class: "guide-button", id: `guide-${guide.name}`, disabled: why !== "" }, guide.title);
      button.addEventListener("click", () => this.choose(guide));
      return { why, row: html("li", {}, button, why ? html("small", {}, why) : null) };
    });
    const free = rows.filter((one) => !one.why);
    const outline = html("button", { type: "button", class: "guide-button", id: "guide-outline" }, "Outline of the tear over slices");
    outline.addEventListener("click", () => this.events.outline());
    const bone = html("button", { type: "button", class: "guide-button", id: "guide-bone" }, "Bone from CT: head, shaft, chart");
    bone.addEventListener("click", () => this.events.bone());
    return [
      html("h2", {}, "Measures on this picture"),
      this.series?.can_measure === "cannot be measured" ? html("p", { class: "stop-words" }, html("b", {}, "Cannot be measured. "), `${this.series.scale_words[0]?.toUpperCase()}${this.series.scale_words.slice(1)}.`) : html("p", { class: "note" }, this.series ? `This series gives ${this.series.can_measure}.` : "Choose a series first."),
      ...this.scaling(),
      html("ul", { class: "guides" }, ...free.map((one) => one.row), this.series?.modality === "MR" && this.series.step ? html("li", {}, outline) : null, this.series?.modality === "CT" && this.series.step ? html("li", {}, bone) : null),
      html("details", {}, html("summary", {}, `${rows.length - free.length} measures not on this picture`), html("ul", { class: "guides" }, ...rows.filter((one) => one.why).map((one) => one.row))),
    ];
  }

  private scaling(): HTMLElement[] {
    if (!this.series || !PROJECTIONS.includes(this.series.modality)) return [];
    const confirm = html("input", { type: "checkbox", id: "scale-confirmed", checked: this.confirmed });
    confirm.addEventListener("change", () => {
      this.confirmed = confirm.checked;
      this.want();
      this.draw();
    });
    const unnamed = this.series.scale === "calibrated-unknown" ? [html("div", { class: "check" }, confirm, html("label", { for: "scale-confirmed" }, "I know how this picture was calibrated and confirm it"))] : [];
    return [this.scale.root, html("p", { class: "scale-said" }, this.scale.say()), ...unnamed];
  }

  private hindered(guide: GuideSaid): string {
    if (!this.series) return "choose a series first";
    if (!guide.modalities.includes(this.series.modality)) return `read on ${guide.modalities.join(", ")}`;
    if (this.series.guides.includes(guide.name)) return "";
    const projection = PROJECTIONS.includes(this.series.modality);
    if (guide.needs_mm && projection) return this.scale.scale ? "" : "needs a scale of this picture";
    return "cannot be measured here: no scale of the patient";
  }

  private marking(guide: GuideSaid): HTMLElement[] {
    const now = this.now();
    const set = (mark: MarkSaid): string => {
      const held = mark.corners === 1 ? this.round()[mark.name]?.length : this.clicks[mark.name]?.length;
      if (!held) return mark === now ? "Click it on the picture." : "";
      return mark.corners === 1 ? "Set." : `${held} set; ${mark.corners} or more are needed.`;
    };
    const outline = now && now.corners > 1 && (this.clicks[now.name]?.length ?? 0) >= now.corners ? [this.button("close-outline", this.isOutline(now) ? "Close this outline" : "Enough marks here", () => this.close(now))] : [];
    const follow = html("input", { type: "checkbox", id: "follow-edge", checked: this.follow });
    follow.addEventListener("change", () => (this.follow = follow.checked));
    const edge = guide.name === "occupation_ratio" ? [html("div", { class: "check" }, follow, html("label", { for: "follow-edge" }, "Follow the edge between clicks"))] : [];
    const fit = html("input", { type: "checkbox", id: "fit-circle", checked: this.fit });
    fit.addEventListener("change", () => {
      this.fit = fit.checked;
      this.want();
    });
    if (guide.name === "head_radius" && this.series?.modality === "MR") edge.push(html("div", { class: "check" }, fit, html("label", { for: "fit-circle" }, "Fit the circle to the bone's edge; the marks only say where to look")));
    const ready = this.said !== null && this.wish() !== null;
    const accept = this.button("accept", this.said?.fills ? `Into the case: ${this.said.fills}` : "Keep beside the case", () => void this.accept(), "accept");
    accept.disabled = !ready || this.said?.open === true;
    return [
      html("h2", {}, guide.title, this.rounds.length > 1 ? `, round ${this.rounds.length}` : ""),
      html("div", { class: "where-row" }, drawing(this.board, guide, now), steps(guide, set, now)),
      html("p", { class: "note" }, `Value: ${guide.formula}.`),
      ...edge,
      html("div", { class: "live", "aria-live": "polite" }, ...(this.said ? drawReading(this.said) : [])),
      this.wrong ? html("p", { class: "wrong", role: "alert" }, `${this.wrong[0]!.toUpperCase()}${this.wrong.slice(1)}.`) : "",
      this.said?.open ? html("p", { class: "wrong" }, "Too close to call: mark again or ask a colleague.") : "",
      html("div", { class: "deeds" }, ...outline, accept, this.button("again", "Mark once more", () => this.again(), "", !ready),
        this.button("back", "Last mark away", () => this.back()), this.button("over", "Start over", () => this.startOver()), this.button("other", "Other measures", () => this.choose(null))),
      ...(guide.needs_mm ? this.scaling() : []),
    ].filter((one): one is HTMLElement => one !== "");
  }

  private async accept(): Promise<void> {
    const wish = this.wish();
    if (!wish) return;
    try {
      await this.events.accept(wish);
      this.choose(null);
    } catch (wrong) {
      this.told(this.said, wrong instanceof Error ? wrong.message : String(wrong));
    }
  }

  private button(id: string, words: string, deed: () => void, cls = "", disabled = false): HTMLButtonElement {
    const made = html("button", { type: "button", id: `measure-${id}`, class: cls, disabled }, words);
    made.addEventListener("click", deed);
    return made;
  }
}
