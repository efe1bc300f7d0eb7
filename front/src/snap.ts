// Snapping to rules: half-millimetre steps, level with the neighbour of the row, never closer than the spacing rule.
import type { Chart, Layout } from "./wire";

const GRID_MM = 0.5;
const LEVEL_MM = 0.8;
const PUSH_MM = 1.5;

export interface Spot { u: number; v: number }

export interface Held { kind: "anchor" | "hole" | "tear" | "corner"; name: string }

export function snapped(spot: Spot, held: Held, layout: Layout, chart: Chart): Spot {
  let { u, v } = { u: Math.round(spot.u / GRID_MM) * GRID_MM, v: Math.round(spot.v / GRID_MM) * GRID_MM };
  if (held.kind !== "anchor") return { u, v };
  const own = layout.anchors.find((anchor) => anchor.name === held.name);
  const others = layout.anchors.filter((anchor) => anchor.name !== held.name);
  const level = others.find((other) => other.row === own?.row && Math.abs(other.v - spot.v) < LEVEL_MM);
  if (level) v = level.v;
  if (chart.spacing === null) return { u, v };
  for (const other of others) {
    const apart = Math.hypot(u - other.u, v - other.v);
    if (apart < chart.spacing && apart > chart.spacing - PUSH_MM) {
      const stretch = chart.spacing / apart;
      u = other.u + (u - other.u) * stretch;
      v = level ? v : other.v + (v - other.v) * stretch;
    }
  }
  return { u, v };
}
