// Access: the arm on the left, the shoulder in the middle, what is reached and what is near on the right.
import { Arm } from "./accessarm";
import { drawMargins } from "./accessmargins";
import { drawBeds, drawBetter, drawMoves } from "./accessmoves";
import { Pen } from "./accesspen";
import { ScopeControls } from "./accessscope";
import { SkinMap } from "./accessskin";
import { ReachTable, type Chosen } from "./accesstable";
import { drawAccessVerdict } from "./accessverdict";
import type { AccessBoard, Cell, Drawn, Live, PortalPlace, Pose, ShoulderShown, Verdict, Wish } from "./accesswire";
import { Answers } from "./answer";
import { askable, refresh } from "./askable";
import { html, place } from "./draw";
import { drawHistory, WAYS } from "./history";
import { Latest } from "./latest";
import { percent } from "./numbers";
import type { ShoulderPicture } from "./shoulder";
import { Table } from "./table";
import { ask } from "./wire";

const DRAWING = "Drawing shoulders: how sure each answer is.";
const TURNING = "While it moves: the mean shoulder; how sure follows.";

export class Access {
  private readonly table: Table;
  private readonly following: Latest<Wish, Live>;
  private readonly answers: Answers;
  private board: AccessBoard | null = null;
  private live: Live | null = null;
  private drawn: Drawn | null = null;
  private chosen: Chosen | null = null;
  private chose = false;
  private picture: ShoulderPicture | null = null;
  private arm: Arm | null = null;
  private skin: SkinMap | null = null;
  private scope: ScopeControls | null = null;
  private reach: ReachTable | null = null;
  private readonly pen: Pen;
  private round = 0;

  constructor(private readonly key: string) {
    const path = `/api/cases/${key}`;
    this.table = new Table(path, {
      stands: (_, why) => void this.stands(why),
      refused: (sentence) => this.trouble(sentence),
      silent: (sentence) => this.trouble(sentence),
    });
    this.following = new Latest<Wish, Live>(`${path}/access/try`, "arm-to-redraw", (live) => this.followed(live), (wrong) => this.table.trouble(wrong));
    this.answers = new Answers(place("answer"), `${path}/access/ask`, (wrong) => this.table.trouble(wrong), (words) => this.say(words));
    this.pen = new Pen(place("pen"), (where) => this.put(where));
    for (const kind of WAYS) place(kind).addEventListener("click", () => void this.table.give(kind));
    document.addEventListener("keydown", (event) => this.pressed(event));
    void this.table.read();
  }

  // What stands

  private async stands(why: string | null): Promise<void> {
    try {
      const board = await ask<AccessBoard>(`/api/cases/${this.key}/access`);
      this.trouble(why);
      this.board = board;
      drawHistory(board);
      this.drawLacking(board, "");
      if (!board.live) {
        this.refuse(board.refused ?? "it is not known why");
        return;
      }
      if (!this.arm) await this.unfold(board, board.live);
      this.arm?.show(board.live.pose);
      this.drawn = board.answer;
      this.take(board.live);
      if (this.scope && (this.scope.order.portal !== board.live.scope.portal || this.scope.order.tilt || this.scope.order.compartment !== "subacromial")) this.follow(board.live.pose);
      void this.settle();
    } catch (wrong) {
      this.table.trouble(wrong);
    }
  }

  private refuse(sentence: string): void {
    place("access").hidden = true;
    place("verdict").replaceChildren(`Not computed: ${sentence}. `, html("a", { href: `/cases/${this.key}/repair` }, "Go to Repair"));
  }

  private async unfold(board: AccessBoard, live: Live): Promise<void> {
    place("access").hidden = false;
    const shown = await ask<ShoulderShown>(`/api/cases/${this.key}/access/scene`);
    this.arm = new Arm(place("arm"), board, live.pose, (pose) => this.follow(pose), (pose) => this.rest(pose));
    this.scope = new ScopeControls(place("scope"), live, () => this.follow(this.live?.pose ?? live.pose));
    this.skin = new SkinMap(place("skin"), shown, live.portals, {
      moving: (where) => this.follow(this.live?.pose ?? live.pose, where),
      placed: (where) => this.put(where),
      dropped: () => void this.stands(null),
    });
    this.reach = new ReachTable(place("reach"), (chosen) => { this.chosen = chosen; this.chose = true; this.draw(); }, (cell) => this.arm?.put(cell.pose));
    try {
      const { ShoulderPicture } = await import("./shoulder");
      this.picture = new ShoulderPicture(place("shoulder"), this.scope.eye, shown);
    } catch {
      place("shoulder").classList.add("flat");
      place("shoulder").replaceChildren(html("p", { role: "status" }, "No picture in three dimensions: this browser has no WebGL. The table, the skin map and the nerve margins are the same without it."));
      this.scope.eye.hidden = true;
    }
  }

  private async settle(): Promise<void> {
    const round = ++this.round;
    if (!this.drawn) this.state(DRAWING, "settling");
    else this.state(`Settled, ${this.drawn.draws} drawn shoulders.`, "settled");
    if (this.drawn) return;
    try {
      const { answer } = await ask<{ answer: Drawn | null }>(`/api/cases/${this.key}/access/answer`);
      if (round !== this.round || !answer) return;
      this.drawn = answer;
      if (!this.chose) this.chosen = worst(answer.verdict, answer.cells);
      this.state(`Settled, ${answer.draws} drawn shoulders.`, "settled");
      this.draw();
      this.say(place("verdict").textContent ?? "");
    } catch (wrong) {
      if (round === this.round) this.table.trouble(wrong);
    }
  }

  // While it moves

  private follow(pose: Pose, portal: PortalPlace | null = null): void {
    if (!this.scope) return;
    if (JSON.stringify(pose) !== JSON.stringify(this.live?.pose) || portal) {
      this.round++;
      this.drawn = null;
      this.state(TURNING, "estimate");
    }
    this.following.want({ pose, portal, scope: this.scope.order });
  }

  private followed(live: Live): void {
    this.trouble(null);
    this.take(live);
  }

  private rest(pose: Pose): void {
    if (!this.board) return;
    void this.table.give("set-arm", { ...pose });
  }

  private put(where: PortalPlace): void {
    this.following.stop();
    void this.table.give("move-portal", { ...where });
  }

  private pressed(event: KeyboardEvent): void {
    if (event.key === "Escape") this.answers.close();
    const typing = event.target instanceof Element && event.target.closest("textarea, input[type=number]");
    if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
    event.preventDefault();
    void this.table.give(event.shiftKey ? "redo" : "undo");
  }

  // Drawing

  private take(live: Live): void {
    this.live = live;
    if (!live.sites.some((site) => site.name === this.chosen?.site)) this.chosen = worst((this.drawn ?? live).verdict, live.cells);
    this.draw();
  }

  private draw(): void {
    const { live, board } = this;
    if (!live || !board || !this.chosen) return;
    const cautions = this.drawn?.cautions ?? [];
    const told = (code: string): string => cautions.find((one) => one.code === code)?.text ?? "";
    drawAccessVerdict(place("verdict"), this.drawn?.verdict ?? live.verdict);
    this.arm?.caution(`Abduction is that of the arm to the scapula: up to ${live.trunk_degrees}° between arm and trunk.`);
    this.drawHidden(live);
    this.drawLacking(board, told("no-landmarks"));
    this.reach?.draw(this.drawn?.cells ?? live.cells, live.sites, live.portals.map((p) => p.name), this.chosen);
    const stops = cautions.filter((one) => one.severity === "stop").map((one) => one.text);
    drawMargins(place("margins"), board.sentence, this.drawn?.margins ?? null, stops);
    drawMoves(place("moves"), live, board.side, (pose) => this.arm?.put(pose));
    drawBetter(place("better"), this.drawn, (where) => this.put(where));
    drawBeds(place("beds"), this.drawn);
    this.pen.draw(live.portals, told("skin-assumed") || "Skin over acromion and deltoid is assumed; confirm each portal by needle.");
    this.skin?.draw(live, live.scope.portal);
    this.skin?.tell(null);
    this.scope?.draw(live);
    this.picture?.show(live, this.chosen);
  }

  private drawHidden(live: Live): void {
    const { share, sites } = live.hidden;
    refresh(place("hidden"),
      html("h2", {}, "Under the acromion"),
      html("p", {}, askable("hidden", percent(share)), " of the footprint", sites.length ? `, with ${sites.join(", ")}` : "", "."),
      html("meter", { min: 0, max: 1, value: share, "aria-label": "share of the footprint under the acromion" }));
  }

  private drawLacking(board: AccessBoard, landmarks: string): void {
    place("lacking").replaceChildren(...(board.lacking.length ? [
      html("h2", {}, "Not measured"),
      html("ul", { class: "lacks-list" }, ...board.lacking.map((words) => html("li", {}, words))),
      html("p", { class: "note" }, "Each would narrow the shoulder, which is else the population's."),
    ] : []), landmarks ? html("p", { class: "note" }, landmarks) : "");
  }

  private state(words: string, cls: string): void {
    place("state").className = `state ${cls}`;
    place("state").textContent = words;
  }

  private trouble(sentence: string | null): void {
    place("trouble").textContent = sentence ?? "";
  }

  private say(words: string): void {
    place("said").textContent = words;
  }
}

/** What the verdict speaks of first: the site that is worst off, from the portal it is planned from. */
function worst(verdict: Verdict, cells: Cell[]): Chosen | null {
  for (const [, name] of verdict) {
    const [head, portal = "", ...rest] = name.split(".");
    if (head === "reach") return { site: rest.join("."), portal };
    const lost = head === "unreached" && cells.find((cell) => cell.site === portal);
    if (lost) return { site: lost.site, portal: lost.portal };
  }
  return cells[0] ? { site: cells[0].site, portal: cells[0].portal } : null;
}
