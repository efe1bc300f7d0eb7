// Bone, cartilage, footprint, wall and groove: flat tints and one line weight each.
import { svg } from "./draw";
import type { RepairMap } from "./map";
import type { Feature } from "./wire";

type Points = readonly [number, number][];

const NAMES: Record<string, string> = {
  "cartilage margin": "cartilage margin",
  "lateral edge": "footprint edge",
  "corner": "corner to the wall",
  "superior facet border": "superior | middle facet",
  "middle facet border": "middle | inferior facet",
  "groove edge": "biceps groove",
};

export function drawTerrain(map: RepairMap): void {
  const line = (name: string): Points => map.chart.terrain.find((f) => f.name === name)?.points ?? [];
  const [u0, u1, v0, v1] = map.extent();
  const margin = extended(line("cartilage margin"), u0, u1);
  const corner = extended(line("corner"), u0, u1);
  const footprint = map.chart.terrain.find((f) => f.name === "both tendons")?.points ?? [];
  const area = (name: string, points: Points): SVGElement =>
    svg("path", { class: `tint-${name}`, d: map.path(points, true) });
  const clip = svg("clipPath", { id: "map-window" }, svg("path", { d: map.path([[u0, v0], [u1, v0], [u1, v1], [u0, v1]], true) }));
  map.layer.ground.replaceChildren(
    svg("defs", {}, clip),
    area("bone", [[u0, v0], [u1, v0], [u1, v1], [u0, v1]]),
    area("cartilage", [[u0, v0], ...margin, [u1, v0]]),
    area("wall", [[u0, v1], ...corner, [u1, v1]]),
    area("groove", [[u0, 0], [map.chart.groove, 0], [map.chart.groove, v1], [u0, v1]]),
    area("footprint", footprint),
  );
  map.layer.ground.setAttribute("clip-path", "url(#map-window)");
  map.layer.terrain.setAttribute("clip-path", "url(#map-window)");
  const lines = map.chart.terrain.filter((f) => f.kind === "line" && f.name !== "attachment gap");
  map.layer.terrain.replaceChildren(
    ...lines.map((f) => svg("path", { class: `line-${f.name.replaceAll(" ", "-")}`, d: map.path(f.points) })),
  );
  map.layer.names.replaceChildren(...lines.map((f) => named(map, f)).filter((text) => text !== null));
}

function extended(points: Points, u0: number, u1: number): Points {
  const [first, last] = [points[0], points[points.length - 1]];
  if (!first || !last) return [];
  return [[Math.min(u0, first[0]), first[1]], ...points, [Math.max(u1, last[0]), last[1]]];
}

function named(map: RepairMap, feature: Feature): SVGElement | null {
  const text = NAMES[feature.name];
  if (!text) return null;
  const [u0, u1, , v1] = map.extent();
  const across = feature.name.includes("facet") || feature.name.includes("groove");
  if (across) {
    const u = feature.points[0]?.[0] ?? 0;
    if (u < u0 + 0.5 || u > u1 - 1) return null;
    const [x, y] = map.at(u, v1 - 5.5);
    if (map.sideways) return svg("text", { x, y: y - 4, "text-anchor": map.at(u, 0)[0] < x ? "end" : "start" }, text);
    return svg("text", { x, y, "text-anchor": "start", transform: `rotate(-90 ${x} ${y}) translate(0 -4)` }, text);
  }
  const shown = feature.points.filter(([u]) => u < u1 - 0.5);
  const end = shown[shown.length - 1];
  if (!end) return null;
  const [x, y] = map.at(end[0], end[1]);
  const below = feature.name === "corner";
  if (map.sideways) return upright(x + (below === map.at(0, 1)[0] > map.at(0, 0)[0] ? 14 : -5), y, map.at(end[0] - 1, end[1])[1] > y ? "end" : "start", text);
  return svg("text", { x: x - 6 * map.chart.rightwards, y: y + (below ? 14 : -5), "text-anchor": map.chart.rightwards > 0 ? "end" : "start" }, text);
}

/** A word that runs up a line standing upright on a turned map. */
function upright(x: number, y: number, anchor: "start" | "end", text: string): SVGElement {
  return svg("text", { x, y, "text-anchor": anchor, transform: `rotate(-90 ${x} ${y})` }, text);
}
