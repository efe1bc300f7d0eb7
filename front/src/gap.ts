// Gap against load, one line for each grade, and the band of the gap on the map.
import { askable, refresh } from "./askable";
import { html, svg, way } from "./draw";
import type { RepairMap } from "./map";
import { axisEnd, percent, spread } from "./numbers";
import type { Hold, Scenario } from "./wire";

const [WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM] = [372, 190, 34, 46, 12, 30];

export function drawGap(holder: HTMLElement, hold: Hold, scenario: Scenario): void {
  const points = hold.scenarios.flatMap((s) => s.gap_curve);
  const loadEnd = axisEnd(Math.max(1, ...points.map(([load]) => load)));
  const gapEnd = axisEnd(Math.max(1, ...points.map(([, gap]) => gap)));
  const x = (load: number): number => LEFT + ((WIDTH - LEFT - RIGHT) * load) / loadEnd;
  const y = (gap: number): number => HEIGHT - BOTTOM - ((HEIGHT - TOP - BOTTOM) * gap) / gapEnd;
  const curves = hold.scenarios.flatMap((s) => {
    const end = s.gap_curve[s.gap_curve.length - 1];
    const cls = s.tissue === scenario.tissue ? "curve chosen" : "curve";
    return [
      svg("path", { class: `${cls} ${s.tissue}`, d: way(s.gap_curve.map(([load, gap]) => [x(load), y(gap)] as const)) }),
      ...(end && x(end[0]) > LEFT + 20 ? [svg("text", { class: "curve-name", x: Math.min(x(end[0]) + 4, WIDTH - RIGHT + 4), y: y(end[1]) + 4 }, s.tissue)] : []),
    ];
  });
  const gap = scenario.gap;
  const at = scenario.gap_load;
  const mark = gap ? [svg("path", { class: "range", d: `M${x(at)} ${y(gap.low)}V${y(gap.high)}` }), svg("circle", { class: "middle-dot", cx: x(at), cy: y(gap.middle), r: 4 })] : [];
  const sentence = gap
    ? html("p", {}, `At ${at} N: `, askable(`gap.${scenario.tissue}`, `${gap.middle} ${gap.unit}`), ` (${spread(gap)}), ${scenario.tissue} tissue; ${percent(scenario.reached_share)} of draws reach that load.`)
    : html("p", {}, `Gap at ${at} N: not computed, only ${percent(scenario.reached_share)} of draws reach that load, ${scenario.tissue} tissue.`);
  const stiff = scenario.stiffness;
  const stiffness = stiff
    ? html("p", {}, "Stiffness ", askable(`stiffness.${scenario.tissue}`, `${stiff.middle} ${stiff.unit}`), ` (${spread(stiff)}).`)
    : html("p", {}, "Stiffness: not computed, the repair gives way before it can be read.");
  refresh(holder, html("h2", {}, "Gap against load"),
    svg("svg", { class: "plot", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, width: WIDTH, height: HEIGHT, role: "img", "aria-label": "Gap in mm against load in N, a line for each grade of tissue" },
      svg("path", { class: "axis", d: `M${LEFT} ${TOP}V${HEIGHT - BOTTOM}H${WIDTH - RIGHT}` }),
      svg("path", { class: "reference", d: `M${x(at)} ${TOP}V${HEIGHT - BOTTOM}` }),
      ...curves, ...mark,
      svg("text", { x: LEFT - 6, y: TOP + 8, "text-anchor": "end" }, String(gapEnd)),
      svg("text", { x: LEFT - 6, y: HEIGHT - BOTTOM, "text-anchor": "end" }, "0"),
      svg("text", { x: LEFT, y: HEIGHT - 12, "text-anchor": "middle" }, "0"),
      svg("text", { x: WIDTH - RIGHT, y: HEIGHT - 12, "text-anchor": "middle" }, String(loadEnd)),
      svg("text", { x: x(at), y: HEIGHT - 12, "text-anchor": "middle" }, `${at}`),
      svg("text", { x: (LEFT + WIDTH - RIGHT) / 2, y: HEIGHT - 1, "text-anchor": "middle" }, "load, N"),
      svg("text", { x: 10, y: (TOP + HEIGHT - BOTTOM) / 2, "text-anchor": "middle", transform: `rotate(-90 10 ${(TOP + HEIGHT - BOTTOM) / 2})` }, "gap, mm")),
    sentence, stiffness);
}

export function drawGapOnMap(map: RepairMap, hold: Hold, scenario: Scenario): void {
  const gap = scenario.gap;
  if (!gap) {
    map.layer.gap.replaceChildren();
    return;
  }
  const { front, width, edge } = hold.strip;
  const across = (v: number): [number, number][] => [[front, v], [front + width, v]];
  const band: [number, number][] = [...across(edge - gap.high), [front + width, edge - gap.low], [front, edge - gap.low]];
  const [x, y] = map.at(front + width / 2, edge - gap.middle);
  map.layer.gap.replaceChildren(
    svg("path", { class: "gap-band", d: map.path(band, true) }),
    svg("path", { class: "gap-middle", d: map.path(across(edge - gap.middle)) }),
    svg("text", { class: "gap-words", x, y: y - 4, "text-anchor": "middle" }, `gap ${gap.middle} mm (${gap.low} to ${gap.high}) at ${scenario.gap_load} N`));
}
