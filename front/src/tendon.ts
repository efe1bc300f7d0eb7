// The tendon, translucent: whole beside the tear, reduced to its place within it, the torn edge where it was found.
import { svg } from "./draw";
import type { OutlineSaid } from "./imageswire";
import type { RepairMap } from "./map";

/** ``outline`` is the torn edge drawn on images; ``found`` draws the torn edge as well, where it was found. */
export function drawTendon(map: RepairMap, outline: OutlineSaid | null = null, found = true): void {
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
  if (outline) parts.push(...outlined(map, outline));
  else if (found && retraction !== null) parts.push(...torn(map, strip.edge - retraction));
  map.layer.tendon.replaceChildren(...parts);
  map.layer.tendon.setAttribute("clip-path", "url(#map-window)");
}

/** The edge as outlined on the patient's slices, with the band that holds it in 9 of 10 draws. */
function outlined(map: RepairMap, { outline, sd_u: spread }: OutlineSaid): SVGElement[] {
  const half = outline.length / 2;
  const wider = (sign: number): [number, number][] => outline.map(([u, v], i) => [u + (i < half ? -sign : sign) * 1.64 * spread[i]!, v]);
  const band = map.path(wider(1), true) + map.path(wider(-1), true);
  const [x, y] = map.at(map.chart.strip.front + map.chart.strip.width / 2, map.extent()[2]);
  return [
    svg("path", { class: "torn-band", "fill-rule": "evenodd", d: band }),
    svg("path", { class: "torn-edge", d: map.path(outline, true) }),
    medially(map, x, y, "torn edge from slices, dashed, with its band"),
  ];
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
    medially(map, x, y, words),
  ];
}

/** Words along the medial border of the map, inside it. */
function medially(map: RepairMap, x: number, y: number, words: string): SVGElement {
  if (!map.sideways) return svg("text", { class: "torn-words", x, y: y + 15, "text-anchor": "middle" }, words);
  const inside = x + (map.at(0, 1)[0] > map.at(0, 0)[0] ? 15 : -8);
  return svg("text", { class: "torn-words", x: inside, y, "text-anchor": "middle", transform: `rotate(-90 ${inside} ${y})` }, words);
}
