// The rehearsal of the limbs: the plan walked step by step, or a learner's own moves under the judge; nothing is stored.
import { drawAccessVerdict } from "./accessverdict";
import { Answers } from "./answer";
import { html, place } from "./draw";
import { Chooser, drawJudged } from "./rehearsechoose";
import { LimbsMap } from "./rehearsemap";
import { MishapForm } from "./rehearsemishap";
import type { LimbsPicture } from "./rehearsepicture";
import { drawNow, drawSteps, type Made } from "./rehearsesteps";
import { drawUsual } from "./rehearseusual";
import type { Judged, LimbScene, Mishap, Move, Point, RehearsalEvent, State, Step, Usual } from "./rehearsewire";
import { ask, Refused, Silent } from "./wire";

const SILENT = "The server does not answer. Start cuffwright serve again and repeat the last step; a rehearsal stores nothing.";

export class Rehearsal {
  private events: RehearsalEvent[] = [];
  private made: Made[] = [];
  private point: Point | null = null;
  private at = 0;
  private own = false;
  private portals = "fewest";
  private picture: LimbsPicture | null = null;
  private readonly map: LimbsMap;
  private readonly chooser: Chooser;
  private readonly mishaps: MishapForm;
  private readonly answers: Answers;
  private readonly path: string;
  private lastMove: Step | null = null;
  private before: State | null = null;
  private busy = false;

  constructor(private readonly key: string) {
    this.path = `/api/cases/${key}/limbs`;
    this.map = new LimbsMap(place("field"), { picked: (limb) => { this.chooser.pick(limb); this.drawMap(); } });
    this.chooser = new Chooser(place("choose"), { tried: (move) => void this.tried(move, false) });
    this.mishaps = new MishapForm(place("mishap"), (mishap, words) => void this.happened(mishap, words));
    this.answers = new Answers(place("answer"), `${this.path}/ask`, (wrong) => this.trouble(wrong), (words) => this.say(words), () => ({ events: this.events, portals: this.portals }));
    document.addEventListener("keydown", (event) => this.pressed(event));
    void this.begin();
  }

  private async begin(): Promise<void> {
    try {
      this.point = await this.played([]);
      place("limbs").hidden = false;
      this.draw();
      void this.besideUsual();
      await this.unfold();
    } catch (wrong) {
      this.refuse(wrong);
    }
  }

  private async unfold(): Promise<void> {
    const holder = place("picture");
    try {
      const scene = await ask<LimbScene>(`${this.path}/scene`);
      const { LimbsPicture } = await import("./rehearsepicture");
      this.picture = new LimbsPicture(holder, scene);
      this.drawMap();
    } catch (wrong) {
      const why = wrong instanceof Refused ? wrong.message : "this browser has no WebGL";
      holder.classList.add("flat");
      holder.replaceChildren(html("p", { role: "status" }, `No picture in three dimensions: ${why}. The map above says the same.`));
    }
  }

  private played(events: RehearsalEvent[]): Promise<Point> {
    return ask<Point>(`${this.path}/play`, { events, portals: this.portals });
  }

  /** The usual order is compared with the plan from the start, whatever happens in the rehearsal. */
  private async besideUsual(): Promise<void> {
    const holder = place("usual");
    const open = holder.querySelector("details")?.open ?? false;
    try {
      drawUsual(holder, await ask<Usual>(`${this.path}/usual?portals=${encodeURIComponent(this.portals)}`), open);
    } catch (wrong) {
      holder.replaceChildren();
      this.trouble(wrong);
    }
  }

  /** Worked through another set of portals, from the start; one that cannot be worked is refused and the former stays. */
  private async through(portals: string): Promise<void> {
    const former = this.portals;
    this.portals = portals;
    if (!(await this.restart())) {
      this.portals = former;
      this.drawModes();
      return;
    }
    document.querySelector<HTMLAnchorElement>("#cards")!.search = `?portals=${encodeURIComponent(portals)}`;
    this.say(`Portals: ${portals}. ${place("verdict").textContent ?? ""}`);
    await this.besideUsual();
  }

  // What stands

  private get steps(): Step[] {
    return this.point?.plan?.steps ?? [];
  }

  private get state(): State | null {
    return this.point?.plan?.states[this.at] ?? this.point?.state ?? null;
  }

  /** Everything that happened up to the step that is shown. */
  private soFar(): RehearsalEvent[] {
    return [...this.events, ...this.steps.slice(0, this.at).map((step) => ({ move: step.move }))];
  }

  private go(at: number): void {
    if (at < 0 && this.events.length) {
      void this.takeBack();
      return;
    }
    const next = Math.min(Math.max(0, at), this.steps.length);
    if (next === this.at || (this.own && next > this.at)) return;
    this.at = next;
    place("judged").replaceChildren();
    this.draw();
    this.say(next ? this.steps[next - 1]!.words : "Before the first step.");
  }

  // The learner

  private async tried(move: Move, anyway: boolean): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    try {
      const events = this.soFar();
      const before = this.state;
      const done = this.steps.slice(0, this.at).map((step) => ({ words: step.words, mishap: false }));
      const judged = await ask<Judged>(`${this.path}/judge`, { events, portals: this.portals, move, anyway });
      drawJudged(place("judged"), judged.words, judged.findings, judged.made !== null, judged.longer, () => void this.tried(move, true));
      if (!judged.made) return;
      this.events = [...events, { move }];
      this.made = [...this.made, ...done, { words: judged.words, mishap: false }];
      this.lastMove = { number: 0, phase: "", words: judged.words, move, looks: [], arm: "", caution: "" };
      this.stand(judged.made, before);
    } catch (wrong) {
      this.trouble(wrong);
    } finally {
      this.busy = false;
    }
  }

  private async happened(mishap: Mishap, words: string): Promise<void> {
    try {
      const events = [...this.soFar(), { mishap }];
      const done = this.steps.slice(0, this.at).map((step) => ({ words: step.words, mishap: false }));
      const point = await this.played(events);
      this.events = events;
      this.made = [...this.made, ...done, { words, mishap: true }];
      this.lastMove = null;
      place("judged").replaceChildren();
      this.stand(point, null);
      this.say(`${words}. ${point.changes.join(" ")}`);
    } catch (wrong) {
      this.trouble(wrong);
    }
  }

  private stand(point: Point, before: State | null): void {
    place("trouble").textContent = "";
    this.point = point;
    this.before = before;
    this.at = 0;
    this.draw();
  }

  /** Whether it could be begun again. */
  private async restart(): Promise<boolean> {
    try {
      const point = await this.played([]);
      [this.events, this.made, this.lastMove] = [[], [], null];
      place("judged").replaceChildren();
      this.stand(point, null);
      return true;
    } catch (wrong) {
      this.trouble(wrong);
      return false;
    }
  }

  /** The last own move or mishap is taken back. */
  private async takeBack(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    try {
      const events = this.events.slice(0, -1);
      const point = await this.played(events);
      [this.events, this.made, this.lastMove] = [events, this.made.slice(0, -1), null];
      place("judged").replaceChildren();
      this.stand(point, null);
    } catch (wrong) {
      this.trouble(wrong);
    } finally {
      this.busy = false;
    }
  }

  private mode(own: boolean): void {
    this.own = own;
    this.draw();
  }

  private pressed(event: KeyboardEvent): void {
    if (event.key === "Escape") this.answers.close();
    if (event.ctrlKey || event.metaKey || event.altKey || this.own && event.key.startsWith("Arrow")) return;
    const target = event.target;
    if (target instanceof Element && target.closest("input, select, textarea, .thread, [role=application]")) return;
    const by: Record<string, number> = { PageDown: 1, ArrowRight: 1, ArrowDown: 1, PageUp: -1, ArrowLeft: -1, ArrowUp: -1, Home: -this.at, End: this.steps.length - this.at };
    const step = by[event.key];
    if (step === undefined || !this.point) return;
    event.preventDefault();
    this.go(this.at + step);
  }

  // Drawing

  private draw(): void {
    const { point, state } = this;
    if (!point || !state) return;
    const step = this.shownStep();
    if (point.plan) drawAccessVerdict(place("verdict"), point.plan.verdict);
    else place("verdict").textContent = `No plan from here: ${point.refused}`;
    const behind = this.made.length;
    drawSteps(place("steps"), this.made, point.plan, this.at, this.own, (at) => this.go(at));
    drawNow(place("now"), point.field, state, step, this.steps[this.at] ?? null, this.own, behind + this.at, behind + this.steps.length, (by) => this.go(this.at + by));
    this.drawModes();
    if (this.own) this.chooser.stand(point.field, state);
    place("choose").hidden = !this.own;
    this.drawMap();
    this.mishaps.draw(point.field);
    this.drawChanges(point);
    place("cautions").replaceChildren(html("h2", {}, "Cautions"), html("ul", { class: "plain" }, ...(point.plan?.cautions ?? []).map((words) => html("li", {}, words))));
  }

  private shownStep(): Step | null {
    return this.steps[this.at - 1] ?? this.lastMove;
  }

  private drawMap(): void {
    const { point, state } = this;
    if (!point || !state) return;
    const step = this.shownStep();
    const before = this.at ? point.plan?.states[this.at - 1] ?? null : this.before;
    this.map.show(point.field, state, before, step, this.own ? this.chooser.picked : null);
    this.picture?.show(point.field, state, step);
    const lost = this.picture?.lost(point.field) ?? [];
    place("lost").textContent = lost.length ? `Not drawn in three dimensions, since their holes are new: ${lost.join(", ")}.` : "";
  }

  private drawModes(): void {
    const choice = (own: boolean, words: string): HTMLElement => {
      const button = html("button", { type: "button", "aria-pressed": String(this.own === own) }, words);
      button.addEventListener("click", () => this.mode(own));
      return button;
    };
    const back = html("button", { type: "button", disabled: !this.events.length && !this.at }, "Start again");
    back.addEventListener("click", () => void this.restart());
    const focused = place("state").contains(document.activeElement) ? document.activeElement : null;
    place("state").replaceChildren(
      html("div", { class: "modes", role: "group", "aria-label": "Who chooses the next move" }, choice(false, "Show the plan"), choice(true, "I choose the move"), back),
      ...this.portalChoice());
    if (focused instanceof HTMLSelectElement) place("state").querySelector("select")?.focus({ preventScroll: true });
    else if (focused) [...place("state").querySelectorAll("button")].find((one) => one.textContent === focused.textContent)?.focus({ preventScroll: true });
  }

  private portalChoice(): HTMLElement[] {
    const point = this.point;
    if (!point) return [];
    const words = (name: string): string => (name === "fewest" && this.portals === "fewest" ? `fewest: ${point.portals}` : name);
    const select = html("select", { id: "portals" }, ...point.sets.map((name) => html("option", { value: name, selected: name === this.portals }, words(name))));
    select.addEventListener("change", () => void this.through(select.value));
    const row = html("p", { class: "choose-field" }, html("label", { for: "portals" }, "Set of portals"), select);
    return this.portals === "fewest" ? [row] : [row, html("p", { class: "note" }, "A set chosen here holds for this rehearsal and its cards; Repair and Theatre go by the fewest.")];
  }

  private drawChanges(point: Point): void {
    place("changed").replaceChildren(...(point.changes.length ? [html("h2", {}, "What changed"), html("ul", { class: "plain" }, ...point.changes.map((words) => html("li", {}, words)))] : []));
  }

  private refuse(wrong: unknown): void {
    if (!(wrong instanceof Refused)) {
      this.trouble(wrong);
      return;
    }
    place("limbs").hidden = true;
    place("verdict").replaceChildren(`Not planned: ${wrong.message}. `, html("a", { href: `/cases/${this.key}/repair` }, "Go to Repair"));
  }

  private trouble(wrong: unknown): void {
    if (wrong instanceof Refused) place("trouble").textContent = wrong.message;
    else if (wrong instanceof Silent) place("trouble").textContent = SILENT;
    else throw wrong;
  }

  private say(words: string): void {
    place("said").textContent = words;
  }
}
