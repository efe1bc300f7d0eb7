// Where slices lie in the patient and cut one another.
import type { Pixel, Plane, SeriesSaid, Triple } from "./imageswire";

const PARALLEL = 0.9;

const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const less = (a: Triple, b: Triple): Triple => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

export function patientPoint(plane: Plane, [x, y]: Pixel): Triple {
  const [across, down] = [plane.col_mm * x, plane.row_mm * y];
  return [0, 1, 2].map((i) => plane.position[i]! + plane.row[i]! * across + plane.column[i]! * down) as Triple;
}

/** The pixel straight under a point of the patient. */
export function pixelOf(plane: Plane, point: Triple): Pixel {
  const away = less(point, plane.position);
  return [dot(away, plane.row) / plane.col_mm, dot(away, plane.column) / plane.row_mm];
}

/** The two ends of the line in which ``other`` cuts the picture of ``plane``; nothing when it passes beside it. */
export function cutOf(plane: Plane, other: Plane, columns: number, rows: number): [Pixel, Pixel] | null {
  const offset = dot(less(plane.position, other.position), other.normal);
  const [a, b] = [dot(plane.row, other.normal) * plane.col_mm, dot(plane.column, other.normal) * plane.row_mm];
  const [left, right, top, bottom] = [-0.5, columns - 0.5, -0.5, rows - 0.5];
  const found: Pixel[] = [];
  const put = (x: number, y: number): void => {
    const inside = x >= left - 1e-6 && x <= right + 1e-6 && y >= top - 1e-6 && y <= bottom + 1e-6;
    if (inside && !found.some(([p, q]) => Math.hypot(p - x, q - y) < 1e-3)) found.push([x, y]);
  };
  if (Math.abs(b) > 1e-9) [left, right].forEach((x) => put(x, -(offset + a * x) / b));
  if (Math.abs(a) > 1e-9) [top, bottom].forEach((y) => put(-(offset + b * y) / a, y));
  return found.length >= 2 ? [found[0]!, found[1]!] : null;
}

/** The picture of a series that lies nearest to a point of the patient. */
export function nearest(series: SeriesSaid, point: Triple): number {
  let [best, least] = [0, Infinity];
  series.pictures.forEach(({ place }, i) => {
    if (!place) return;
    const off = Math.abs(dot(less(point, place.position), place.normal));
    if (off < least) [best, least] = [i, off];
  });
  return best;
}

/** The series of the same space that cut this one, at most ``most``. */
export function crossing(series: SeriesSaid, all: SeriesSaid[], most: number): SeriesSaid[] {
  const plane = series.pictures[0]?.place;
  if (!plane || !series.space) return [];
  return all.filter((other) => {
    const its = other.pictures[0]?.place;
    return other !== series && its && other.space === series.space && Math.abs(dot(plane.normal, its.normal)) < PARALLEL;
  }).slice(0, most);
}
