// The place Images: series on the left, the stack with its cross-lines in the middle, the measure being taken on the right.
import { place } from "./draw";
import { drawHistory, WAYS } from "./history";
import { Beside } from "./imagesbeside";
import { crossing, cutOf, nearest, patientPoint } from "./imagesgeometry";
import { Importing } from "./imagesimport";
import { drawAside, drawHead, drawSeries } from "./imageslist";
import { Marks, type LineShown, type MarkShown } from "./imagesmarks";
import { Measure } from "./imagesmeasure";
import { Bone } from "./imagesbone";
import { Outline } from "./imagesoutline";
import { Slices } from "./imagesslices";
import { drawTaken } from "./imagestaken";
import { Tools } from "./imagestools";
import { say, Viewer } from "./imagesviewer";
import { drawOlder } from "./older";
import type { BoneWish, ImagesBoard, MeasureWish, OutlineWish, PictureSaid, Pixel, SeriesSaid, TakenSaid, Triple } from "./imageswire";
import { ask, type Chart } from "./wire";

const BESIDE = 2;

export class Images {
  private board!: ImagesBoard;
  private viewer!: Viewer;
  private marks!: Marks;
  private tools!: Tools;
  private beside!: Beside;
  private measure!: Measure;
  /** What takes clicks instead of a guided measure: an outline, or bone from a CT. */
  private outline: Outline | Bone | null = null;
  private shown: TakenSaid | null = null;
  private crossed = true;
  private through: Triple | null = null;

  constructor(private readonly key: string) {
    void this.start().catch((wrong: unknown) => this.trouble(wrong));
  }

  private async start(): Promise<void> {
    this.board = await this.read();
    place("images").hidden = false;
    const slices = new Slices(this.key);
    this.viewer = new Viewer(place("stack"), slices, {
      turned: (index) => this.turned(index), clicked: (at) => this.clicked(at), drawn: () => this.draw(), trouble: (wrong) => this.trouble(wrong),
    });
    this.marks = new Marks(this.viewer, (id, at, rest) => this.moved(id, at, rest), (id) => this.removed(id));
    this.tools = new Tools(place("stack-tools"), this.viewer, () => this.cross());
    this.beside = new Beside(place("beside"), slices, (at) => this.pointed(at), (one, index) => void this.open(one, index));
    this.measure = new Measure(place("measure"), this.key, this.board, {
      drawn: () => this.draw(), accept: (wish) => this.accept("readings", wish), outline: () => void this.outlining(null), bone: () => this.boning(null),
      focus: (id) => this.marks.focus(id),
    });
    const importing = new Importing(place("import"), this.key, () => void this.taken());
    if (this.board.asking) importing.resume(this.board.asking);
    for (const kind of WAYS) place(kind).addEventListener("click", () => void this.step(kind));
    document.addEventListener("keydown", (event) => this.pressed(event));
    this.renew();
    const asked = new URLSearchParams(location.search).get("reading");
    const reading = [...this.board.readings].reverse().find((one) => one.name === asked || one.fields.includes(asked ?? ""));
    if (reading?.spot) await this.again(reading);
    else if (this.board.series[0]) await this.open(this.board.series[0]);
  }

  private async dropped(id: string): Promise<void> {
    try {
      await ask(`/api/cases/${this.key}/images/imports/${id}/remove`, {});
      location.assign(location.pathname);
    } catch (wrong) {
      this.trouble(wrong);
    }
  }

  private read(): Promise<ImagesBoard> {
    return ask<ImagesBoard>(`/api/cases/${this.key}/images`);
  }

  private async taken(): Promise<void> {
    this.board = await this.read();
    this.renew();
    this.measure.renew(this.board);
    const first = this.board.series[0];
    if (first) await this.open(first);
  }

  private async open(series: SeriesSaid, index?: number): Promise<void> {
    this.through = null;
    await this.viewer.open(series, index);
    this.renew();
  }

  private picture(): PictureSaid | null {
    return this.viewer.series?.pictures[this.viewer.index] ?? null;
  }

  private turned(index: number): void {
    const [series, picture] = [this.viewer.series!, this.picture()!];
    const kept = this.through && picture.place ? this.through : null;
    this.through = kept ?? (picture.place ? patientPoint(picture.place, [(series.columns - 1) / 2, (series.rows - 1) / 2]) : null);
    drawHead(place("stack-head"), this.board, series, index);
    this.viewer.label(`${series.modality} series ${series.number + 1}, slice ${index + 1} of ${series.pictures.length}, ${series.plane}`);
    say(`slice ${index + 1} of ${series.pictures.length}`);
    this.measure.look(series, picture);
    this.outline?.look(picture);
    const others = this.crossed ? crossing(series, this.board.series, BESIDE) : [];
    void this.beside.draw(picture.place, others, this.through);
    this.draw();
  }

  private clicked(at: Pixel): void {
    const { columns, rows } = this.viewer.series!;
    if (at[0] < -0.5 || at[1] < -0.5 || at[0] > columns - 0.5 || at[1] > rows - 0.5) return;
    const kept = this.viewer.held(at).map((value) => Math.round(value * 100) / 100) as Pixel;
    this.shown = null;
    if (this.outline ? this.outline.click(kept) : this.measure.click(kept)) return;
    const picture = this.picture();
    if (!picture?.place) return;
    this.through = patientPoint(picture.place, kept);
    this.turned(this.viewer.index);
  }

  private pointed(at: Triple): void {
    this.through = at;
    void this.viewer.turn(nearest(this.viewer.series!, at));
  }

  private cross(): void {
    this.crossed = !this.crossed;
    if (this.viewer.series) this.turned(this.viewer.index);
  }

  private moved(id: string, at: Pixel, rest: boolean): void {
    const kept = at.map((value) => Math.round(value * 100) / 100) as Pixel;
    if (this.outline) this.outline.move(id, kept, rest);
    else this.measure.move(id, kept);
  }

  private removed(id: string): void {
    if (this.outline) this.outline.remove(id);
    else this.measure.remove(id);
  }

  // Readings

  private async accept(where: "readings" | "outlines" | "bones", wish: MeasureWish | OutlineWish | BoneWish): Promise<void> {
    const order = { ...wish, id: crypto.randomUUID(), expected: this.board.seq };
    const { laid_anew: anew } = await ask<{ seq: number; laid_anew: boolean }>(`/api/cases/${this.key}/images/${where}`, order);
    await this.refresh();
    place("trouble").textContent = "";
    say(anew ? "Taken into the case; the repair was laid anew on it." : "Taken into the case.");
  }

  private async outlining(kept: TakenSaid | null): Promise<void> {
    const chart = (await ask<{ chart: Chart | null }>(`/api/cases/${this.key}`)).chart;
    place("measure").replaceChildren();
    const outline = new Outline(place("measure"), this.key, chart, {
      drawn: () => this.draw(), focus: (id) => this.marks.focus(id),
      accept: async (made) => {
        await this.accept("outlines", made);
        this.closeOutline();
      },
      close: () => this.closeOutline(),
    });
    this.outline = outline;
    const picture = this.picture();
    if (picture) outline.look(picture);
    if (kept?.marks && kept.outline) outline.restore(kept.marks, kept.outline);
  }

  private boning(kept: TakenSaid | null): void {
    place("measure").replaceChildren();
    const bone = new Bone(place("measure"), this.key, {
      drawn: () => this.draw(), close: () => this.closeOutline(),
      accept: async (made) => {
        await this.accept("bones", made);
        this.closeOutline();
      },
    });
    this.outline = bone;
    const picture = this.picture();
    if (picture) bone.look(picture);
    if (kept?.bone_marks && kept.bone) bone.restore(kept.bone_marks, kept.bone);
  }

  private closeOutline(): void {
    this.outline = null;
    this.measure.choose(null);
  }

  /** Show an accepted reading: its picture with its marks. */
  private async again(one: TakenSaid): Promise<void> {
    const series = one.spot && this.board.series[one.spot.series];
    if (!series || !one.spot) return;
    if (this.outline) this.closeOutline();
    else this.measure.choose(null);
    await this.open(series, one.spot.index);
    this.shown = one;
    if (one.marks) await this.outlining(one);
    if (one.bone_marks) this.boning(one);
    this.renew();
    this.draw();
    place("stack").scrollIntoView({ block: "nearest" });
  }

  private async step(kind: "undo" | "redo" | "choose-pattern", payload: Record<string, string> = {}): Promise<void> {
    try {
      await ask(`/api/cases/${this.key}/commands`, { id: crypto.randomUUID(), expected: this.board.seq, kind, payload });
    } catch (wrong) {
      this.trouble(wrong);
    }
    await this.refresh();
  }

  private async refresh(): Promise<void> {
    const before = this.viewer.series?.number;
    this.board = await this.read();
    if (before !== undefined) this.viewer.series = this.board.series[before] ?? null;
    this.renew();
    if (!this.outline) this.measure.renew(this.board);
  }

  // Drawing

  private renew(): void {
    place("stack-place").hidden = !this.board.series.length;
    drawSeries(place("series"), this.board, this.viewer.series, (one) => void this.open(one));
    drawAside(place("aside"), this.board, (id) => void this.dropped(id));
    drawTaken(place("taken"), this.board, this.shown?.name ?? "", (one) => void this.again(one));
    drawHistory(this.board);
    drawOlder(this.board.older, (name) => void this.step("choose-pattern", { name }));
    this.verdict();
  }

  private verdict(): void {
    const pictures = this.board.series.reduce((sum, one) => sum + one.pictures.length, 0);
    const aside = this.board.imports.reduce((sum, one) => sum + one.aside.length, 0);
    const given = this.board.read.length;
    place("verdict").textContent = pictures
      ? `${pictures} ${pictures === 1 ? "picture" : "pictures"} in ${this.board.series.length} series${aside ? `, ${aside} ${aside === 1 ? "file" : "files"} set aside` : ""}. ${given} of the case's measures were read on them.`
      : "No images yet: nothing of this case was read on them. Take in a folder, a zip file or single images.";
  }

  private draw(): void {
    if (!this.marks || !this.viewer.series) return;
    const held = this.outline ? this.outline.shown() : this.measure.shown();
    const again = this.shown && !this.outline ? marksOf(this.shown, this.viewer, this.board) : { marks: [], lines: [] };
    this.marks.draw([...held.marks, ...again.marks], [...this.cuts(), ...held.lines, ...again.lines]);
    this.tools?.draw(this.crossed);
  }

  private cuts(): LineShown[] {
    const [series, plane] = [this.viewer.series!, this.picture()?.place];
    if (!plane || !this.crossed) return [];
    return (this.beside?.shown ?? []).flatMap(({ series: other, index }): LineShown[] => {
      const cut = cutOf(plane, other.pictures[index]!.place!, series.columns, series.rows);
      return cut ? [{ points: cut, close: false, kind: "cut", words: `series ${other.number + 1}` }] : [];
    });
  }

  private pressed(event: KeyboardEvent): void {
    if (event.target instanceof Element && event.target.closest("input:not([type=radio], [type=checkbox]), textarea, select")) return;
    const key = event.key.toLowerCase();
    if ((event.ctrlKey || event.metaKey) && key === "z") {
      event.preventDefault();
      void this.step(event.shiftKey ? "redo" : "undo");
    } else if (key === "x" && !event.ctrlKey && !event.metaKey && !event.altKey) this.cross();
  }

  private trouble(wrong: unknown): void {
    place("trouble").textContent = wrong instanceof Error ? wrong.message : String(wrong);
  }
}

/** The marks of an accepted reading as they were set, all rounds, when its picture is the one shown. */
function marksOf(one: TakenSaid, viewer: Viewer, board: ImagesBoard): { marks: MarkShown[]; lines: LineShown[] } {
  const here = one.spot && board.series[one.spot.series]?.number === viewer.series?.number && one.spot.index === viewer.index;
  const marks: MarkShown[] = [];
  const lines: LineShown[] = [];
  for (const [n, round] of (here ? one.rounds : []).entries()) {
    for (const [name, points] of Object.entries(round)) {
      const words = n === one.rounds.length - 1 ? name.replaceAll("_", " ") : "";
      if (points.length > 1) lines.push({ points, close: true, kind: "outline", words });
      else if (points[0]) marks.push({ id: `kept/${n}/${name}`, words, at: points[0], kind: "point", still: true });
    }
    if (marks.length === 2 && Object.keys(round).length === 2) lines.push({ points: marks.map((mark) => mark.at), close: false, kind: "straight" });
  }
  return { marks, lines };
}
