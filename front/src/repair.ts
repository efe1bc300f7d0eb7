// The repair: the map in the middle, patterns beside it, what it will hold on the other side.
import { Answers } from "./answer";
import { askable } from "./askable";
import { drawBody } from "./body";
import { drawCautions, drawCautionsOnMap } from "./cautions";
import { drawContact } from "./contact";
import { EditTools } from "./edit";
import { html, place } from "./draw";
import { drawGap, drawGapOnMap } from "./gap";
import { Hand, type Gestures } from "./hand";
import { drawHistory } from "./history";
import { Latest } from "./latest";
import { Layers } from "./layers";
import { LimbMoves } from "./limbmoves";
import { drawLimbs } from "./limbs";
import { drawLoads } from "./loads";
import { RepairMap } from "./map";
import { ReachLayer } from "./reach";
import { lookAt } from "./mapview";
import { Movables } from "./movables";
import { drawOlder } from "./older";
import { change, mm } from "./numbers";
import { drawPatterns } from "./patterns";
import { drawPressure } from "./pressure";
import { drawScenarios } from "./scenarios";
import { Settling, type News } from "./settling";
import { Shelf } from "./shelf";
import { SolidLook } from "./solidlook";
import { snapped, type Held, type Spot } from "./snap";
import { Table } from "./table";
import { drawTendon } from "./tendon";
import { drawTerrain } from "./terrain";
import { drawVerdict } from "./verdict";
import { ask, type Board, type Grade, type Hold, type Layout, type PatternShown, type Scenario } from "./wire";

const HINT = "Drag an anchor or a hole; or click it, then click its place; or Tab to it and use the arrows (0.5 mm, Shift 2 mm). Alt leaves the rules, Escape takes it back.";

interface Wanted { kind: "move-anchor" | "move-hole"; payload: { name: string; u: number; v: number } }

export class Repair implements Gestures {
  private readonly table: Table;
  private readonly trial: Latest<Wanted, { hold: Hold | null }>;
  private readonly settling: Settling;
  private readonly layers: Layers;
  private readonly answers: Answers;
  private readonly tools: EditTools;
  private readonly shelf: Shelf;
  private readonly solid: SolidLook;
  private map: RepairMap | null = null;
  private hand: Hand | null = null;
  private movables: Movables | null = null;
  private patterns: PatternShown[] = [];
  private shown: Layout | null = null;
  private hold: Hold | null = null;
  private ghost: Hold | null = null;
  private chosen: Grade | null = null;
  private limits = "";
  private readonly limbMoves: LimbMoves;
  private readonly reach: ReachLayer;

  constructor(key: string) {
    const path = `/api/cases/${key}`;
    this.limbMoves = new LimbMoves(`${path}/limbs/moves`);
    this.table = new Table(path, {
      stands: (board, why) => this.stands(board, why),
      refused: (sentence) => this.trouble(sentence),
      silent: (sentence) => this.trouble(sentence),
    });
    this.trial = new Latest<Wanted, { hold: Hold | null }>(`${path}/try`, "drag-to-redraw", ({ hold }) => this.estimated(hold), (wrong) => this.table.trouble(wrong));
    this.settling = new Settling(`${path}/hold/stream`, (kind, news) => this.heard(kind, news));
    this.layers = new Layers(place("layers"), () => this.drawLayers());
    this.reach = new ReachLayer(place("reach"), path, () => this.drawReach());
    this.answers = new Answers(place("answer"), `${path}/ask`, (wrong) => this.table.trouble(wrong), (words) => this.say(words));
    const give = (kind: string, payload: Record<string, unknown>): Promise<void> => this.table.give(kind, payload);
    this.tools = new EditTools(place("edit"), give, (held) => this.movables?.focus(held));
    this.shelf = new Shelf(place("shelf"), path, give, (words) => this.say(words));
    this.solid = new SolidLook(`${path}/scene`, () => this.drawSolid(), (wrong) => this.table.trouble(wrong));
    place("map").addEventListener("focusin", () => this.tools.choose(this.movables?.focused() ?? null));
    place("undo").addEventListener("click", () => this.back("undo"));
    place("redo").addEventListener("click", () => this.back("redo"));
    document.addEventListener("keydown", (event) => this.key(event));
    window.addEventListener("hashchange", () => this.goTo());
    new ResizeObserver(() => this.fit()).observe(place("map"));
    void this.begin(path);
  }

  private async begin(path: string): Promise<void> {
    await this.table.read();
    if (this.table.board?.chart) await this.layPatterns(path);
  }

  /** Every pattern laid on the tear as it now is. */
  private async layPatterns(path: string): Promise<void> {
    try {
      this.patterns = (await ask<{ patterns: PatternShown[] }>(`${path}/patterns`)).patterns;
    } catch (wrong) {
      this.table.trouble(wrong);
    }
    this.drawPatterns();
  }

  // What stands

  private stands(board: Board, why: string | null): void {
    this.trouble(why);
    drawOlder(board.older, (name) => void this.table.give("choose-pattern", { name }));
    if (board.refused) place("verdict").textContent = `Not computed: ${board.refused}`;
    if (!board.chart) return;
    const redraw = this.map !== null && JSON.stringify(this.map.chart) !== JSON.stringify(board.chart);
    this.map ??= this.unfold(board);
    this.map.chart = board.chart;
    if (redraw) {
      this.fit();
      void this.layPatterns(this.table.path);
    }
    this.shown = board.layout;
    this.drawPatterns();
    drawHistory(board);
    void this.limbMoves.tell();
    if (!board.layout) {
      if (!board.refused) place("verdict").textContent = "Not computed: no pattern is chosen yet. Choose a pattern on the left.";
      return;
    }
    if (board.hold) this.take(board.hold);
    else this.clear(board.refused);
    const settled = board.hold?.scenarios.every((s) => s.settled) ?? false;
    this.tools.draw(board);
    this.shelf.stands(board, settled ? board.hold : null, this.chosen);
    if (settled) this.ghost = board.hold;
    if (settled && board.hold) this.state(`Settled, ${board.hold.draws} draws.`, "settled");
    else if (!board.refused) this.settling.start();
  }

  /** Nothing is known yet about what stands: the map alone. */
  private clear(refused: string | null): void {
    this.hold = null;
    this.ghost = null;
    place("verdict").textContent = refused ? `Not computed: ${refused}` : "Settling: the first draws are under way.";
    if (refused) this.state("Not computed.", "estimate");
    for (const id of ["cautions", "holds", "loads", "gap", "contact", "body"]) place(id).replaceChildren();
    for (const name of ["pressure", "gap", "warnings"] as const) this.map?.layer[name].replaceChildren();
    this.drawLayers();
  }

  /** Go where the address points: a part of the map, or a number to be asked. */
  private goTo(): void {
    const [what = "", ...rest] = decodeURIComponent(window.location.hash.slice(1)).split(".");
    const name = rest.join(".");
    if (!name || !this.shown) return;
    if (what === "anchor" || what === "hole") this.movables?.focus({ kind: what, name });
    else if (what !== "ask" || !this.answers.ask(name)) return;
    window.history.replaceState(null, "", window.location.pathname);
  }

  private unfold(board: Board): RepairMap {
    const map = new RepairMap(place("map"), board.chart!);
    this.hand = new Hand(map, this);
    this.movables = new Movables(map, this.hand);
    this.map = map;
    place("map").before(lookAt(map, place("map"), () => this.fit()));
    place("hand").textContent = HINT;
    this.fit();
    return map;
  }

  private take(hold: Hold): void {
    this.hold = hold;
    this.chosen ??= (hold.scenarios.find((s) => s.tissue === "fair") ?? hold.scenarios[0])?.tissue ?? null;
    this.draw();
  }

  private scenario(hold: Hold): Scenario {
    return hold.scenarios.find((s) => s.tissue === this.chosen) ?? hold.scenarios[0]!;
  }

  // While it moves and while it settles

  private estimated(hold: Hold | null): void {
    if (!hold) return;
    this.trouble(null);
    this.take(hold);
    const now = this.scenario(hold);
    const before = this.ghost?.scenarios.find((s) => s.tissue === now.tissue);
    this.state(`Estimate while it moves: ${before ? change(now.ultimate, before.ultimate) : `about ${now.ultimate.middle} N`}, ${now.tissue} tissue.`, "estimate");
  }

  private heard(kind: string, news: News): void {
    if (kind === "lost" || kind === "cancelled") void this.table.read();
    if (kind === "failed") this.trouble(news.error ?? "the computation broke");
    if (kind === "progress" || kind === "partial") this.state(news.words ? `Settling: ${news.words}.` : `Settling: ${news.done} of ${news.total} draws.`, "settling", news.done / Math.max(1, news.total));
    if (news.hold && !this.hand?.busy) {
      const before = this.ghost;
      if (kind === "settled") {
        this.table.settle(news.hold);
        this.ghost = news.hold;
        this.announce(news.hold, before);
      }
      this.take(news.hold);
      if (kind === "settled" && this.table.board) this.shelf.stands(this.table.board, news.hold, this.chosen);
    }
    if (kind === "settled") this.state(`Settled, ${news.total} draws.`, "settled");
  }

  private announce(hold: Hold, before: Hold | null): void {
    const now = this.scenario(hold);
    const old = before?.scenarios.find((s) => s.tissue === now.tissue);
    const moved = old && before !== hold ? `, ${change(now.ultimate, old.ultimate)}` : "";
    this.say(`${now.tissue} tissue: ${now.ultimate.middle} newton${moved}.`);
  }

  // Gestures

  start(held: Held): Spot {
    this.settling.stop();
    const from = held.kind === "anchor" ? this.shown?.anchors : this.shown?.holes;
    const found = from?.find((one) => one.name === held.name);
    return { u: found?.u ?? 0, v: found?.v ?? 0 };
  }

  moving(held: Held, spot: Spot, snap: boolean): Spot {
    if (!this.shown || !this.map) return spot;
    const used = snap ? snapped(spot, held, this.shown, this.map.chart) : spot;
    const move = <T extends { name: string }>(one: T): T => (one.name === held.name ? { ...one, ...used } : one);
    this.shown = held.kind === "anchor" ? { ...this.shown, anchors: this.shown.anchors.map(move) } : { ...this.shown, holes: this.shown.holes.map(move) };
    this.drawRepair();
    place("hand").textContent = `${title(held)}: ${mm(used.u)} from the front, ${mm(used.v)} from the cartilage margin.`;
    this.trial.want({ kind: held.kind === "anchor" ? "move-anchor" : "move-hole", payload: { name: held.name, u: used.u, v: used.v } });
    return used;
  }

  placed(held: Held, spot: Spot): void {
    this.trial.stop();
    place("hand").textContent = `${title(held)} placed at ${mm(spot.u)}, ${mm(spot.v)}.`;
    void this.table.give(`move-${held.kind}`, { name: held.name, u: spot.u, v: spot.v }).then(() => this.movables?.focus(held));
  }

  dropped(held: Held): void {
    this.trial.stop();
    place("hand").textContent = `${title(held)} put back.`;
    if (this.table.board) this.stands(this.table.board, null);
  }

  picked(held: Held | null): void {
    this.movables?.pick(held);
    place("map").classList.toggle("placing", held !== null);
    const words = held ? `${title(held)} picked: click its new place, or Escape.` : HINT;
    place("hand").textContent = words;
    if (held) this.say(words);
  }

  private back(kind: "undo" | "redo"): void {
    this.hand?.cancel();
    void this.table.give(kind);
  }

  private key(event: KeyboardEvent): void {
    const typing = event.target instanceof Element && event.target.closest("textarea, input[type=text], select");
    if (event.key === "Delete" && !typing && this.movables?.focused()) this.tools.remove();
    if (event.key === "Escape" && !this.hand?.cancel()) this.answers.close();
    if (typing || event.altKey) return;
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") {
      event.preventDefault();
      this.back(event.shiftKey ? "redo" : "undo");
    } else if (event.key === "3" && !event.ctrlKey && !event.metaKey) this.solid.toggle();
    else if (!event.ctrlKey && !event.metaKey && this.layers.press(event.key)) event.preventDefault();
  }

  // Drawing

  private fit(): void {
    const holder = place("map");
    if (!this.map?.fit(holder.clientWidth, holder.clientHeight)) return;
    drawTerrain(this.map);
    drawTendon(this.map, this.table.board?.outline ?? null);
    if (this.hold) this.draw();
  }

  private draw(): void {
    const hold = this.hold;
    if (!hold || !this.map) return;
    const scenario = this.scenario(hold);
    const ghost = this.ghost?.scenarios.find((s) => s.tissue === scenario.tissue) ?? null;
    drawVerdict(place("verdict"), hold);
    const limits = JSON.stringify([hold.cautions, hold.missing]);
    if (limits !== this.limits || !place("cautions").hasChildNodes()) drawCautions(place("cautions"), hold, this.table.board?.labels ?? {}, (caution) => askable(`caution.${caution.code}`, "source"));
    this.limits = limits;
    drawScenarios(place("holds"), hold, this.ghost, scenario.tissue, (tissue) => { this.chosen = tissue; this.shelf.show(tissue); this.draw(); });
    drawLoads(place("loads"), hold, scenario, ghost);
    drawGap(place("gap"), hold, scenario);
    drawContact(place("contact"), hold);
    drawBody(place("body"), hold);
    drawPressure(this.map, hold);
    drawGapOnMap(this.map, hold, scenario);
    drawCautionsOnMap(this.map, hold);
    this.drawLayers();
    this.goTo();
  }

  private drawRepair(): void {
    if (!this.map || !this.shown) return;
    const members = this.hold ? this.scenario(this.hold).members : [];
    const loads = new Map<string, string>();
    for (const m of members) if (m.kind === "limb" && m.loaded) loads.set(m.name, `${m.loaded.middle} N`);
    drawLimbs(this.map, this.shown, this.layers.shown("loads") ? loads : new Map());
    this.movables?.draw(this.shown);
    this.movables?.firstFailures(members, this.layers.shown("loads"));
    this.drawReach();
    this.drawSolid();
  }

  private drawReach(): void {
    const { board } = this.table;
    if (!this.map || !this.shown || !board) return;
    const on = this.layers.shown("reach");
    this.reach.draw(this.map, this.shown, board.layout, on);
    if (on && !this.hand?.busy) void this.reach.read(board.seq);
  }

  private drawSolid(): void {
    const chart = this.table.board?.chart;
    if (this.shown && chart) this.solid.show(this.shown, this.hold, chart, this.layers.shown("pressure"));
  }

  private drawLayers(): void {
    if (!this.map) return;
    for (const name of ["pressure", "gap", "names", "graticule"] as const) {
      this.map.layer[name].setAttribute("visibility", this.layers.shown(name) ? "visible" : "hidden");
    }
    this.drawRepair();
  }

  private drawPatterns(): void {
    const board = this.table.board;
    if (board?.chart) drawPatterns(place("patterns"), this.patterns, board.chart, board.layout?.pattern ?? null, board.layout?.edited ?? false, (name) => void this.table.give("choose-pattern", { name }));
  }

  private state(words: string, cls: string, share = 1): void {
    const bar = html("progress", { max: 1, value: share, "aria-label": "draws settled" });
    place("state").className = `state ${cls}`;
    place("state").replaceChildren(html("span", {}, words), ...(cls === "settling" ? [bar] : []));
  }

  private trouble(sentence: string | null): void {
    place("trouble").textContent = sentence ?? "";
  }

  private say(words: string): void {
    place("said").textContent = words;
  }
}

function title(held: Held): string {
  return held.kind === "anchor" ? `Anchor ${held.name}` : `Hole of limb ${held.name}`;
}
