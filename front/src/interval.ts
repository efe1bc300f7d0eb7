// A number as an interval with its middle; the last settled one as a ghost behind it, an estimate as a thin mark.
import { svg } from "./draw";
import type { Interval } from "./wire";

export interface Axis { end: number; width: number; height: number }

export function drawInterval(axis: Axis, now: Interval | null, ghost: Interval | null, settled: boolean): SVGSVGElement {
  const x = (value: number): number => 4 + ((axis.width - 8) * Math.min(Math.max(0, value), axis.end)) / axis.end;
  const middle = axis.height / 2;
  const parts: SVGElement[] = [svg("path", { class: "axis", d: `M4 ${axis.height - 0.5}H${axis.width - 4}` })];
  if (ghost && !settled) {
    parts.push(svg("rect", { class: "ghost", x: x(ghost.low), y: middle - 7, width: Math.max(1, x(ghost.high) - x(ghost.low)), height: 14 }));
    parts.push(svg("path", { class: "ghost-middle", d: `M${x(ghost.middle)} ${middle - 7}V${middle + 7}` }));
  }
  if (now && settled) {
    parts.push(svg("path", { class: "range", d: `M${x(now.low)} ${middle}H${x(now.high)}M${x(now.low)} ${middle - 5}V${middle + 5}M${x(now.high)} ${middle - 5}V${middle + 5}` }));
    parts.push(svg("circle", { class: "middle-dot", cx: x(now.middle), cy: middle, r: 4.5 }));
  }
  if (now && !settled) {
    parts.push(svg("path", { class: "estimate-range", d: `M${x(now.low)} ${middle}H${x(now.high)}` }));
    parts.push(svg("path", { class: "estimate", d: `M${x(now.middle)} ${middle - 9}V${middle + 9}` }));
  }
  return svg("svg", { class: "interval", viewBox: `0 0 ${axis.width} ${axis.height}`, width: axis.width, height: axis.height, "aria-hidden": "true" }, ...parts);
}
