// Pressure on the footprint: bands of cividis between iso-lines, MPa printed on the lines, the threshold emphasised.
import { loops, type Grid, type Point } from "./contour";
import { pressureTint } from "./cividis";
import { svg } from "./draw";
import type { RepairMap } from "./map";
import { axisEnd } from "./numbers";
import type { Hold } from "./wire";

const BANDS = 8;
const SHORTEST_LABELLED_PX = 90;
const BORDER_PX = 24;

export function drawPressure(map: RepairMap, hold: Hold): void {
  const { u, v, pressure } = hold.pressure;
  const grid: Grid = { x: u, y: v, value: pressure };
  const top = axisEnd(Math.max(0, ...pressure.map((row) => Math.max(...row))));
  const step = top / BANDS;
  const fills: SVGElement[] = [];
  const lines: SVGElement[] = [];
  for (let band = 1; band < BANDS; band++) {
    const level = band * step;
    const found = loops(grid, level);
    if (!found.length) break;
    const d = found.map((loop) => map.path(loop, true)).join("");
    fills.push(svg("path", { d, "fill-rule": "evenodd", fill: pressureTint((band + 0.5) / BANDS) }));
    lines.push(svg("path", { class: "iso", d }), ...labels(map, found, level, "iso-words", band % 2 === 0));
  }
  const over = loops(grid, hold.contact.threshold);
  const edge = over.map((loop) => map.path(loop, true)).join("");
  lines.push(
    svg("path", { class: "iso-threshold-halo", d: edge }),
    svg("path", { class: "iso-threshold", d: edge }),
    ...labels(map, over, hold.contact.threshold, "iso-words threshold", false),
  );
  map.layer.pressure.replaceChildren(
    svg("g", { class: "bands" }, ...fills),
    svg("g", { class: "isos" }, ...lines),
    legend(map, top, hold.contact.threshold),
  );
  map.layer.pressure.setAttribute("aria-label", `pressure up to ${hold.contact.peak} MPa`);
}

/** One number on the longest line of a level, at its anterior or posterior turn, away from the map's own borders. */
function labels(map: RepairMap, found: Point[][], level: number, cls: string, rightmost: boolean): SVGElement[] {
  const longest = found.map((loop) => loop.map(([u, v]) => map.at(u, v)))
    .filter((loop) => length(loop) > SHORTEST_LABELLED_PX)
    .sort((a, b) => length(b) - length(a))[0];
  if (!longest) return [];
  const bottom = Math.max(...longest.map(([, y]) => y));
  const free = longest.filter(([, y]) => y < bottom - BORDER_PX);
  const turn = (free.length ? free : longest).reduce((best, point) => ((point[0] > best[0]) === rightmost ? point : best));
  return [svg("text", { class: cls, x: turn[0], y: turn[1] + 4, "text-anchor": "middle" }, String(Number(level.toPrecision(2))))];
}

function length(points: readonly Point[]): number {
  let sum = 0;
  for (let i = 1; i < points.length; i++) sum += Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
  return sum;
}

function legend(map: RepairMap, top: number, threshold: number): SVGElement {
  const [x, y, wide, high] = [34, map.root.viewBox.baseVal.height - 62, 150, 10];
  const cells: SVGElement[] = [];
  for (let band = 0; band < BANDS; band++) {
    const fill = band ? pressureTint((band + 0.5) / BANDS) : "none";
    cells.push(svg("rect", { x: x + (band * wide) / BANDS, y, width: wide / BANDS, height: high, fill }));
  }
  const mark = x + (wide * Math.min(threshold, top)) / top;
  return svg("g", { class: "legend" },
    svg("rect", { class: "legend-ground", x: x - 8, y: y - 20, width: wide + 62, height: 50, rx: 3 }),
    svg("text", { x, y: y - 6 }, "pressure as tied, MPa"),
    ...cells,
    svg("rect", { class: "legend-frame", x, y, width: wide, height: high }),
    svg("path", { class: "legend-threshold", d: `M${mark} ${y - 3}V${y + high + 3}` }),
    svg("text", { x, y: y + 24, "text-anchor": "middle" }, "0"),
    svg("text", { x: mark, y: y + 24, "text-anchor": "middle", class: "threshold" }, String(threshold)),
    svg("text", { x: x + wide, y: y + 24, "text-anchor": "middle" }, String(Number(top.toPrecision(2)))));
}
