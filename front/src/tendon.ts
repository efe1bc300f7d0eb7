// The tendon, translucent: whole beside the tear, reduced to its place within it, the torn edge where it was found.
import { svg } from "./draw";
import type { RepairMap } from "./map";

/** ``found`` draws the torn edge as well, where it was found. */
export function drawTendon(map: RepairMap, found = true): void {
  const { strip, retraction, groove } = map.chart;
  const [, u1, v0] = map.extent();
  const end = strip.front + strip.width;
  const edge = (u0: number, to: number): [number, number][] => {
    const line = map.chart.terrain.find((f) => f.name === "lateral edge")?.points ?? [];
    return [[u0, strip.edge], ...line.filter(([u]) => u > u0 && u < to), [to, strip.edge]];
  };
  const sheet = (from: number, to: number, cls: string): SVGElement =>
    svg("path", { class: cls, d: map.path([[from, v0], ...edge(from, to), [to, v0]], true) });
  const parts: SVGElement[] = [
    sheet(Math.max(0, groove), strip.front, "tendon-whole"),
    sheet(end, Math.max(end, u1), "tendon-whole"),
    ...(found ? [sheet(strip.front, end, "tendon-torn")] : []),
    svg("path", { class: "tear-limb", d: map.path([[strip.front, v0], [strip.front, strip.edge]]) }),
    svg("path", { class: "tear-limb", d: map.path([[end, v0], [end, strip.edge]]) }),
    svg("path", { class: "tendon-edge", d: map.path([[strip.front, strip.edge], [end, strip.edge]]) }),
  ];
  if (found && retraction !== null) parts.push(...torn(map, strip.edge - retraction));
  map.layer.tendon.replaceChildren(...parts);
  map.layer.tendon.setAttribute("clip-path", "url(#map-window)");
}

function torn(map: RepairMap, v: number): SVGElement[] {
  const { strip } = map.chart;
  const [, , v0] = map.extent();
  const shown = Math.max(v, v0 + 0.4);
  const middle = strip.front + strip.width / 2;
  const curve: [number, number][] = [];
  for (let i = 0; i <= 16; i++) {
    const share = i / 16;
    curve.push([strip.front + strip.width * share, strip.edge + (shown - strip.edge) * Math.sin(Math.PI * share) ** 0.5]);
  }
  const [x, y] = map.at(middle, v0);
  const words = `torn edge found ${(strip.edge - v).toFixed(0)} mm medial${v < v0 ? ", beyond this map" : ", dashed"}`;
  return [
    svg("path", { class: "torn-edge", d: map.path(curve) }),
    svg("text", { class: "torn-words", x, y: y + 15, "text-anchor": "middle" }, words),
  ];
}
