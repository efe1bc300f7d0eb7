// The table of sites by portals as small multiples: each cell draws the path at its angle, says yes, moved or no,
// and how sure. One cell is chosen; arrows walk between them.
import { arrow } from "./accesskeys";
import { askable } from "./askable";
import type { Cell, Reached, Site } from "./accesswire";
import { html, svg } from "./draw";
import { percent } from "./numbers";

export interface Chosen { site: string; portal: string }

const LETTER: Record<Reached, string> = { yes: "Y", moved: "M", no: "N" };
const ROOMY = 9;
const KIND: Record<Cell["kind"], string> = { "medial anchor": "medial anchors", hole: "holes", "lateral anchor": "lateral anchors" };

export class ReachTable {
  private chosen: Chosen | null = null;
  private cells: Cell[] = [];
  private readonly buttons = new Map<string, HTMLButtonElement>();
  private readonly told = html("div", { class: "reach-told" });
  private readonly table = html("div", { class: "reach-scroll" });
  private shape = "";

  constructor(holder: HTMLElement, private readonly choose: (chosen: Chosen) => void, private readonly turn: (cell: Cell) => void) {
    holder.replaceChildren(html("h2", {}, "What is reached from where"), this.table, legend(), this.told);
  }

  draw(cells: Cell[], sites: Site[], portals: string[], chosen: Chosen | null): void {
    this.cells = cells;
    this.chosen = chosen;
    const shape = [...sites.map((s) => s.name), "|", ...portals].join(" ");
    if (shape !== this.shape) this.build(sites, portals);
    this.shape = shape;
    for (const cell of cells) this.fill(cell);
    this.tell();
  }

  private build(sites: Site[], portals: string[]): void {
    this.buttons.clear();
    const kinds = sites.reduce<[Cell["kind"], number][]>((found, site) => {
      const last = found[found.length - 1];
      if (last?.[0] === site.kind) last[1]++;
      else found.push([site.kind, 1]);
      return found;
    }, []);
    const head = html("thead", {},
      html("tr", {}, html("td", {}), ...kinds.map(([kind, count]) => html("th", { scope: "colgroup", colspan: count, class: "kind" }, KIND[kind]))),
      html("tr", {}, html("th", { scope: "col" }, html("span", { class: "unseen" }, "Portal")), ...sites.map((site, i) => html("th", { scope: "col", class: starts(sites, i) }, site.name))));
    const rows = portals.map((portal) => html("tr", {}, html("th", { scope: "row" }, portal), ...sites.map((site, i) => {
      const button = html("button", { type: "button", class: "cell", tabindex: -1 });
      button.addEventListener("click", () => this.choose({ site: site.name, portal }));
      button.addEventListener("keydown", (event) => this.walk(event, portals.indexOf(portal), i, sites, portals));
      this.buttons.set(`${portal} ${site.name}`, button);
      return html("td", { class: starts(sites, i) }, button);
    })));
    const table = html("table", { class: sites.length <= ROOMY ? "reach roomy" : "reach" }, html("caption", { class: "unseen" }, "Each site from each portal. Arrow keys walk between the cells."), head, html("tbody", {}, ...rows));
    this.table.replaceChildren(table);
  }

  private fill(cell: Cell): void {
    const button = this.buttons.get(`${cell.portal} ${cell.site}`);
    if (!button) return;
    const here = cell.portal === this.chosen?.portal && cell.site === this.chosen.site;
    button.className = `cell ${cell.answer}`;
    button.tabIndex = here ? 0 : -1;
    button.setAttribute("aria-pressed", String(here));
    button.dataset["cell"] = `${cell.site} from ${cell.portal}`;
    const sure = cell.answer === "no" ? "" : cell.probability === null ? "…" : `${Math.round(cell.probability * 100)}`;
    button.replaceChildren(html("span", { class: "letter" }, LETTER[cell.answer]), pathGlyph(cell), html("span", { class: "sure" }, sure),
      html("span", { class: "unseen" }, ` ${cell.site} from ${cell.portal}: ${words(cell)}`));
  }

  private walk(event: KeyboardEvent, row: number, column: number, sites: Site[], portals: string[]): void {
    const [right, down] = arrow(event.key);
    const [portal, site] = [portals[row + down], sites[column + right]];
    if ((!down && !right) || !portal || !site) return;
    event.preventDefault();
    this.choose({ site: site.name, portal });
    this.buttons.get(`${portal} ${site.name}`)?.focus();
  }

  private tell(): void {
    const cell = this.cells.find((one) => one.site === this.chosen?.site && one.portal === this.chosen.portal);
    if (!cell) return;
    const sure = cell.probability === null ? "not drawn yet" : `${percent(cell.probability)} of drawn shoulders`;
    const name = `reach.${cell.portal}.${cell.site}`;
    const focused = this.told.contains(document.activeElement);
    const parts: (Node | string)[] = [html("b", {}, `${cell.site} from ${cell.portal}: `)];
    if (cell.answer === "no") parts.push("no, because ", html("span", {}, askable(name, cell.reason), "."));
    else {
      parts.push(cell.answer === "yes" ? "yes at this arm position, " : `only with the arm at ${cell.pose_words}, `, html("span", { class: "together" }, askable(name, sure), "."));
      parts.push(` ${cell.angle.toFixed(0)}° to the ${cell.kind === "hole" ? "tendon" : "bone"}, ${cell.length.toFixed(0)} mm from the skin${cell.room === null ? "" : `, ${cell.room.toFixed(0)} mm of bone behind the tip`}; ${cell.means}.`);
    }
    const turn = html("button", { type: "button" }, "Turn the arm there");
    turn.addEventListener("click", () => this.turn(cell));
    this.told.replaceChildren(html("p", {}, ...parts), ...(cell.answer === "moved" ? [turn] : []));
    if (focused) this.told.querySelector<HTMLElement>("button")?.focus({ preventScroll: true });
  }
}

function words(cell: Cell): string {
  const sure = cell.probability === null ? "" : `, ${percent(cell.probability)} of drawn shoulders`;
  if (cell.answer === "yes") return `yes at this arm position${sure}`;
  return cell.answer === "moved" ? `only with the arm at ${cell.pose_words}${sure}` : `no, because ${cell.reason}`;
}

function starts(sites: Site[], i: number): string | null {
  return i > 0 && sites[i - 1]!.kind !== sites[i]!.kind ? "first" : null;
}

/** The bone as a line and the path to it at its true angle. */
function pathGlyph(cell: Cell): SVGSVGElement {
  const a = (Math.max(-20, Math.min(90, cell.angle)) * Math.PI) / 180;
  const end = `${(14 + 15 * Math.cos(a)).toFixed(1)} ${(17 - 15 * Math.sin(a)).toFixed(1)}`;
  return svg("svg", { viewBox: "0 0 32 22", width: 26, height: 18, "aria-hidden": "true" },
    svg("path", { class: "bone-line", d: "M3 17.5H29" }), svg("path", { class: "path-line", d: `M14 17L${end}` }));
}

function legend(): HTMLElement {
  const key = (answer: Reached, said: string): HTMLElement => html("li", {}, html("span", { class: `cell swatch ${answer}`, "aria-hidden": "true" }, LETTER[answer]), said);
  return html("ul", { class: "reach-key" }, key("yes", "yes, at this arm position"), key("moved", "only with the arm moved"), key("no", "no"),
    html("li", {}, "line: path to the bone; number: % of drawn shoulders"));
}
