// Shapes that are used again and again: made once, so that a turning arm sends no new ones to the picture.
import { SphereGeometry, TorusGeometry, type BufferGeometry } from "three";

const kept = new Map<string, BufferGeometry>();

export const ball = (radius: number): BufferGeometry => keep(`ball ${radius}`, () => new SphereGeometry(radius, 16, 12));
export const ring = (radius: number): BufferGeometry => keep(`ring ${radius}`, () => new TorusGeometry(radius, 0.35, 6, 32));
export const isKept = (shape: BufferGeometry): boolean => shape.userData["kept"] === true;

function keep(name: string, make: () => BufferGeometry): BufferGeometry {
  const found = kept.get(name) ?? make();
  found.userData["kept"] = true;
  kept.set(name, found);
  return found;
}
