// The chart in space: a lattice on the bone that turns (u, v, z) into a point, and sheets, lines and tubes over it.
import { BufferAttribute, BufferGeometry, CatmullRomCurve3, Color, Curve, TubeGeometry, Vector3 } from "three";

export interface LatticeShown { u: number[]; v: number[]; points: number[]; normals: number[] }

const ROUND = 6;
const PER_MM = 0.7;

export class Lattice {
  constructor(private readonly shown: LatticeShown) {}

  /** A point ``z`` mm over the surface at chart ``u``, ``v``; outside the lattice, its nearest place. */
  at(u: number, v: number, z = 0): Vector3 {
    const point = this.blend(this.shown.points, u, v);
    return z ? point.addScaledVector(this.out(u, v), z) : point;
  }

  /** Outward at chart ``u``, ``v``. */
  out(u: number, v: number): Vector3 {
    return this.blend(this.shown.normals, u, v).normalize();
  }

  /** Backwards along the bone at chart ``u``, ``v``. */
  back(u: number, v: number): Vector3 {
    return this.at(u + 0.5, v).sub(this.at(u - 0.5, v)).normalize();
  }

  /** A sheet over places of the chart, ``z`` mm over the bone, with a colour at each where wanted. */
  sheet(u: readonly number[], v: readonly number[], z: number, tint?: (i: number, j: number) => readonly number[]): BufferGeometry {
    const points: number[] = [];
    const colours: number[] = [];
    const colour = new Color();
    u.forEach((one, i) => v.forEach((other, j) => {
      points.push(...this.at(one, other, z).toArray());
      if (tint) colours.push(...colour.setRGB(...(tint(i, j).map((part) => part / 255) as [number, number, number]), "srgb").toArray());
    }));
    const faces: number[] = [];
    for (let i = 0; i + 1 < u.length; i++) for (let j = 0; j + 1 < v.length; j++) {
      const a = i * v.length + j;
      faces.push(a, a + 1, a + v.length, a + 1, a + v.length + 1, a + v.length);
    }
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(new Float32Array(points), 3));
    if (tint) geometry.setAttribute("color", new BufferAttribute(new Float32Array(colours), 3));
    geometry.setIndex(faces);
    geometry.computeVertexNormals();
    return geometry;
  }

  private blend(values: readonly number[], u: number, v: number): Vector3 {
    const [i, s] = place(this.shown.u, u);
    const [j, t] = place(this.shown.v, v);
    const wide = this.shown.v.length;
    const corner = (a: number, b: number): Vector3 => new Vector3().fromArray(values as number[], 3 * (a * wide + b));
    return corner(i, j).lerp(corner(i + 1, j), s).lerp(corner(i, j + 1).lerp(corner(i + 1, j + 1), s), t);
  }
}

/** Evenly spaced numbers from one end to the other, both included, no farther apart than ``step``. */
export function spaced(from: number, to: number, step: number): number[] {
  const count = Math.max(1, Math.ceil((to - from) / step));
  return Array.from({ length: count + 1 }, (_, i) => from + ((to - from) * i) / count);
}

export function course(points: readonly Vector3[]): CatmullRomCurve3 {
  return new CatmullRomCurve3([...points], false, "centripetal");
}

/** A tube along a part of a course, both ends as shares of its length. */
export function tube(along: Curve<Vector3>, radius: number, from = 0, to = 1): BufferGeometry {
  const steps = Math.max(2, Math.ceil(along.getLength() * (to - from) * PER_MM));
  const points = Array.from({ length: steps + 1 }, (_, i) => along.getPointAt(Math.min(1, from + ((to - from) * i) / steps)));
  return new TubeGeometry(course(points), steps, radius, ROUND);
}

function place(axis: readonly number[], at: number): [number, number] {
  const last = axis.length - 1;
  const step = (axis[last]! - axis[0]!) / last;
  const where = Math.min(last, Math.max(0, (at - axis[0]!) / step));
  const low = Math.min(last - 1, Math.floor(where));
  return [low, where - low];
}
