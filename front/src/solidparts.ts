// What lies on the bone: tendon, pressure under it, anchors in their depth, limbs over the tendon, the cut surface.
import {
  CylinderGeometry, DoubleSide, Group, Line, BufferGeometry, LineBasicMaterial, Mesh, MeshBasicMaterial, MeshLambertMaterial, Quaternion, SphereGeometry, Vector3,
} from "three";
import { pressureColour } from "./cividis";
import { limbLook, type Look } from "./limbs";
import { axisEnd } from "./numbers";
import { course, Lattice, spaced, tube } from "./solidchart";
import type { Chart, Hold, Hole, Layout } from "./wire";

export interface Named { text: string; at: Vector3; kind: "anchor" | "limb" }

const TENDON = 0xd9a58c;
const CUT = 0x8f5137;
const INK = 0x1d2228;
const MOVE = 0x00707a;
const LIMB_MM = 0.55;
const BEAD_MM = 1;
const STEP_MM = 2;
const OVER_MM = 0.7;
const UNDER_MM = 0.35;
const TOP_MM = -22;
/** Dash and gap in mm by line pattern; null is unbroken. */
const DASH: Record<string, readonly [number, number] | null> = { solid: null, "long-dash": [4.2, 1.6], dot: [1.2, 1.6], beaded: null };
const BEAD_EVERY_MM = 3.6;

export function tendon(lattice: Lattice, chart: Chart): Group {
  const { front, width, edge, thickness } = chart.strip;
  const made = new Group();
  const sheet = (from: number, to: number, opacity: number): void => {
    if (to - from < 0.5) return;
    const material = new MeshLambertMaterial({ color: TENDON, transparent: true, opacity, side: DoubleSide, depthWrite: false });
    const [u, v] = [spaced(from, to, STEP_MM), spaced(TOP_MM, edge, STEP_MM)];
    const over = new Mesh(lattice.sheet(u, v, thickness), material);
    over.renderOrder = 3;
    made.add(over);
  };
  sheet(Math.max(chart.groove, -2), front, 0.75);
  sheet(front, front + width, 0.42);
  sheet(front + width, Math.max(front + width, chart.back), 0.75);
  for (const z of [UNDER_MM, thickness]) made.add(line(spaced(front, front + width, STEP_MM).map((u) => lattice.at(u, edge, z)), CUT));
  return made;
}

/** Pressure as tied, draped over the footprint under the tendon; only where the tendon presses at all. */
export function pressure(lattice: Lattice, hold: Hold): Group {
  const { u, v, pressure: grid } = hold.pressure;
  const top = axisEnd(Math.max(0, ...grid.map((row) => Math.max(...row))));
  const geometry = lattice.sheet(u, v, UNDER_MM, (i, j) => pressureColour((grid[j]?.[i] ?? 0) / top));
  const made = new Group();
  made.add(new Mesh(geometry, new MeshBasicMaterial({ vertexColors: true, side: DoubleSide })));
  return made;
}

/** Anchors square to the bone, as deep as their bed. */
export function anchors(lattice: Lattice, layout: Layout, sizes: Record<string, { diameter: number; bed: number }>): { made: Group; names: Named[] } {
  const made = new Group();
  const names = layout.anchors.map((anchor): Named => {
    const size = sizes[anchor.implant] ?? { diameter: 4, bed: 12 };
    const out = lattice.out(anchor.u, anchor.v);
    const body = new Mesh(new CylinderGeometry(size.diameter / 2, size.diameter / 2, size.bed, 14), new MeshLambertMaterial({ color: MOVE }));
    body.position.copy(lattice.at(anchor.u, anchor.v, 0.4)).addScaledVector(out, -size.bed / 2);
    body.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), out));
    made.add(body);
    return { text: anchor.name, at: lattice.at(anchor.u, anchor.v, 1.2), kind: "anchor" };
  });
  return { made, names };
}

export function limbs(lattice: Lattice, layout: Layout, chart: Chart): { made: Group; names: Named[] } {
  const made = new Group();
  const names: Named[] = [];
  const high = chart.strip.thickness + OVER_MM;
  layout.holes.forEach((hole, i) => {
    const look = limbLook(i);
    const runs = layout.stitches.filter((s) => s.holes.includes(hole.name));
    const home = layout.anchors.find((a) => a.name === runs[0]?.anchor);
    if (home) made.add(new Mesh(tube(course([lattice.at(home.u, home.v, 0), lattice.at(hole.u, hole.v, UNDER_MM), lattice.at(hole.u, hole.v, high)]), LIMB_MM / 2), new MeshLambertMaterial({ color: look.hue })));
    let end = lattice.at(hole.u, hole.v, high + 1);
    for (const run of runs) {
      const to = farEnd(layout, run.to, run.holes, hole, chart.strip.edge);
      const steps = spaced(0, 1, 0.08);
      const points = steps.map((share) => {
        const [u, v] = [hole.u + (to.u - hole.u) * share, hole.v + (to.v - hole.v) * share];
        const past = Math.max(0, v - chart.strip.edge);
        return lattice.at(u, v, Math.max(UNDER_MM + 0.3, high - past * 1.4));
      });
      made.add(stroke(points, look));
      if (run.to) end = points[points.length - 1]!;
    }
    names.push({ text: hole.name, at: lattice.at(hole.u, hole.v, high + 1), kind: "limb" });
    if (runs.some((run) => run.to)) names.push({ text: hole.name, at: end.clone().lerp(lattice.at(hole.u, hole.v, high), 0.16 + 0.11 * (i % 3)), kind: "limb" });
  });
  return { made, names };
}

/** The surface of bone and tendon where it is cut, at chart ``u``. */
export function cut(lattice: Lattice, chart: Chart, u: number): Group {
  const made = new Group();
  const { front, width, edge, thickness } = chart.strip;
  made.add(line(spaced(TOP_MM, 40, 1).map((v) => lattice.at(u, v, 0)), INK));
  if (u < front || u > front + width) return made;
  const v = spaced(TOP_MM, edge, 1);
  const band = new BufferGeometry().setFromPoints([...v.map((one) => lattice.at(u, one, UNDER_MM)), ...v.map((one) => lattice.at(u, one, thickness))]);
  const faces: number[] = [];
  for (let i = 0; i + 1 < v.length; i++) faces.push(i, i + 1, i + v.length, i + 1, i + v.length + 1, i + v.length);
  band.setIndex(faces);
  made.add(new Mesh(band, new MeshBasicMaterial({ color: TENDON, side: DoubleSide })));
  made.add(line([...v.map((one) => lattice.at(u, one, thickness)), ...v.reverse().map((one) => lattice.at(u, one, UNDER_MM))], CUT));
  return made;
}

function farEnd(layout: Layout, to: string | null, through: readonly string[], hole: Hole, edge: number): { u: number; v: number } {
  const anchor = layout.anchors.find((a) => a.name === to);
  if (anchor) return anchor;
  const other = layout.holes.find((h) => h.name !== hole.name && through.includes(h.name));
  return other ? { u: (hole.u + other.u) / 2, v: (hole.v + other.v) / 2 } : { u: hole.u, v: edge + 1 };
}

/** A limb in its hue and line pattern. */
function stroke(points: Vector3[], look: Look): Group {
  const made = new Group();
  const along = course(points);
  const material = new MeshLambertMaterial({ color: look.hue });
  const length = along.getLength();
  const dash = DASH[look.pattern] ?? null;
  if (!dash) made.add(new Mesh(tube(along, LIMB_MM), material));
  else for (let at = 0; at < length; at += dash[0] + dash[1]) made.add(new Mesh(tube(along, LIMB_MM, at / length, Math.min(1, (at + dash[0]) / length)), material));
  if (look.pattern === "beaded") for (let at = BEAD_EVERY_MM / 2; at < length; at += BEAD_EVERY_MM) {
    const bead = new Mesh(new SphereGeometry(BEAD_MM, 10, 8), material);
    bead.position.copy(along.getPointAt(at / length));
    made.add(bead);
  }
  return made;
}

function line(points: Vector3[], color: number): Line {
  return new Line(new BufferGeometry().setFromPoints(points), new LineBasicMaterial({ color }));
}
