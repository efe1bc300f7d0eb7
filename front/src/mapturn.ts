// How the map lies: as beside an upright patient, in lateral decubitus, or as the arthroscope shows it.
import type { Chart } from "./wire";

export type Edges = Chart["edges"];

export interface Turn { name: string; words: string; up: "medial" | "anterior" | "posterior" }

/** The picture of an arthroscope shows what is far from its portal at the top. */
export const TURNS: readonly Turn[] = [
  { name: "upright", words: "upright patient, from beside", up: "medial" },
  { name: "decubitus", words: "lateral decubitus, from behind", up: "anterior" },
  { name: "scope-lateral", words: "arthroscope in a lateral portal", up: "medial" },
  { name: "scope-posterior", words: "arthroscope in a posterior portal", up: "anterior" },
  { name: "scope-anterior", words: "arthroscope in an anterior portal", up: "posterior" },
];

const KEPT = "map-turn";

/** Quarter turns of the map against the clock: where anterior lies at the right, one brings it up. */
export function quarters(turn: Turn, rightwards: 1 | -1): -1 | 0 | 1 {
  if (turn.up === "medial") return 0;
  return (turn.up === "anterior" ? -rightwards : rightwards) as -1 | 1;
}

/** A screen direction (right, down) turned by so many quarters against the clock. */
export function turned([x, y]: readonly [number, number], by: -1 | 0 | 1): [number, number] {
  return by === 0 ? [x, y] : [by * y, -by * x];
}

/** The four words after so many quarters against the clock. */
export function turnedEdges(edges: Edges, by: -1 | 0 | 1): Edges {
  const { top, right, bottom, left } = edges;
  if (by === 0) return edges;
  return by > 0 ? { top: right, left: top, bottom: left, right: bottom } : { top: left, right: top, bottom: right, left: bottom };
}

/** How the map was left on this device; upright where that is unknown. */
export function keptTurn(): Turn {
  let name: string | null = null;
  try { name = window.localStorage.getItem(KEPT); } catch { /* a browser that keeps nothing */ }
  return TURNS.find((one) => one.name === name) ?? TURNS[0]!;
}

export function keepTurn(turn: Turn): void {
  try { window.localStorage.setItem(KEPT, turn.name); } catch { /* a browser that keeps nothing */ }
}
