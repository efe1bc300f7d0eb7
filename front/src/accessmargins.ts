// Nerve margins: each an interval with its 5th percentile and its floor, the nearest first, the nerve at zero.
import { askable, refresh } from "./askable";
import type { Margin } from "./accesswire";
import { told } from "./cautions";
import { html, svg } from "./draw";

const LEAST = -10;
const MOST = 70;
const WIDTH = 206;
const HEIGHT = 30;

export function drawMargins(holder: HTMLElement, sentence: string, drawn: Margin[] | null, stops: string[]): void {
  const sorted = [...(drawn ?? [])].sort((a, b) => a.floor - b.floor);
  refresh(holder,
    html("h2", {}, "Nerve margins, mm"),
    html("p", { class: "estimate-words" }, sentence),
    html("ul", { class: "cautions" }, ...stops.map((words) => told("stop", words))),
    drawn
      ? html("table", { class: "margins" },
        html("thead", {}, html("tr", {}, ...["Portal, nerve", "Nerve at 0", "5th pct", "Floor"].map((words) => html("th", { scope: "col" }, words)))),
        html("tbody", {}, ...sorted.map(row)))
      : html("p", { class: "note" }, "Being drawn over shoulders."),
    html("p", { class: "note" }, "Dot and line: middle, and 9 in 10 drawn shoulders. Bar: 5th percentile at the largest published loss with abduction. Diamond, the floor: with the shortest distance published."));
}

function row(one: Margin): HTMLElement {
  return html("tr", {},
    html("th", { scope: "row" }, html("span", {}, one.portal), html("small", {}, one.nerve)),
    html("td", {}, interval(one)),
    html("td", { class: "number" }, askable(`margin.${one.portal}`, one.fifth.toFixed(0))),
    html("td", { class: "number" }, one.floor.toFixed(0)));
}

function interval(one: Margin): SVGSVGElement {
  const x = (value: number): number => 4 + ((WIDTH - 8) * (Math.max(LEAST, Math.min(MOST, value)) - LEAST)) / (MOST - LEAST);
  const y = HEIGHT / 2;
  const { low, high, middle } = one.margin;
  const words = `middle ${middle} mm, 9 in 10 between ${low} and ${high}`;
  return svg("svg", { class: "interval margin", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, width: WIDTH, height: HEIGHT, role: "img", "aria-label": words },
    svg("rect", { class: "beyond", x: 0, y: 2, width: x(0), height: HEIGHT - 4 }),
    svg("path", { class: "nerve-line", d: `M${x(0)} 2V${HEIGHT - 2}` }),
    ...[20, 40, 60].map((at) => svg("path", { class: "axis", d: `M${x(at)} 4V${HEIGHT - 4}` })),
    svg("path", { class: "range", d: `M${x(low)} ${y}H${x(high)}` }),
    svg("circle", { class: "middle-dot", cx: x(middle), cy: y, r: 4.5 }),
    svg("path", { class: "fifth", d: `M${x(one.fifth)} ${y - 9}V${y + 9}` }),
    svg("path", { class: "floor", d: `M${x(one.floor)} ${y - 7}l6 7l-6 7l-6 -7z` }));
}
