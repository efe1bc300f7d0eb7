// Bones and skin as surfaces: what the server computes with, and nothing that it does not.
import {
  BufferAttribute, BufferGeometry, CapsuleGeometry, DoubleSide, EdgesGeometry, Group, LineBasicMaterial, LineSegments, Mesh,
  MeshLambertMaterial, Quaternion, Vector3,
} from "three";
import type { MeshShown, ShoulderShown, Triple } from "./accesswire";

export const BONE = 0xe9dcc2;
export const CARTILAGE = 0xbfd8e2;
export const FOOTPRINT = 0xd08e6d;
const INK = 0x4a4336;
const SKIN = 0xd7a488;

export interface Bones { fixed: Group; arm: Group; skin: Mesh }

export function vector(point: Triple): Vector3 {
  return new Vector3(...point);
}

export function buildBones(shown: ShoulderShown): Bones {
  const fixed = new Group();
  const arm = new Group();
  for (const block of shown.blocks) {
    const mesh = new Mesh(surface(block, false), bone(BONE, true));
    mesh.add(new LineSegments(new EdgesGeometry(mesh.geometry, 25), new LineBasicMaterial({ color: INK, transparent: true, opacity: 0.45 })));
    fixed.add(mesh);
  }
  for (const rod of shown.rods) fixed.add(rodBetween(vector(rod.ends[0]), vector(rod.ends[1]), rod.radius, bone(BONE, false)));
  const tints: Record<keyof ShoulderShown["arm"], number> = { cartilage: CARTILAGE, head: BONE, tuberosity: BONE, footprint: FOOTPRINT, shaft: BONE };
  for (const [name, mesh] of Object.entries(shown.arm) as [keyof ShoulderShown["arm"], MeshShown][]) {
    const material = bone(tints[name], false);
    if (name === "footprint") material.polygonOffset = true;
    arm.add(new Mesh(surface(mesh, true), material));
  }
  arm.matrixAutoUpdate = false;
  const skin = new Mesh(surface(shown.skin, true), new MeshLambertMaterial({ color: SKIN, transparent: true, opacity: 0.2, side: DoubleSide, depthWrite: false }));
  skin.renderOrder = 5;
  return { fixed, arm, skin };
}

/** Put the arm where the server says: a turn, row by row, and the place of the head. */
export function placeArm(arm: Group, turn: number[], head: Triple): void {
  const [a, b, c, d, e, f, g, h, i] = turn as [number, number, number, number, number, number, number, number, number];
  arm.matrix.set(a, b, c, head[0], d, e, f, head[1], g, h, i, head[2], 0, 0, 0, 1);
  arm.matrixWorldNeedsUpdate = true;
}

export function bone(color: number, flat: boolean): MeshLambertMaterial {
  return new MeshLambertMaterial({ color, flatShading: flat, side: DoubleSide });
}

export function surface(shown: MeshShown, smooth: boolean): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(shown.points), 3));
  geometry.setIndex(shown.triangles);
  if (smooth) geometry.computeVertexNormals();
  return geometry;
}

/** A rod with round ends. */
export function rodBetween(start: Vector3, end: Vector3, radius: number, material: MeshLambertMaterial): Mesh {
  const run = end.clone().sub(start);
  const mesh = new Mesh(new CapsuleGeometry(radius, run.length(), 6, 16), material);
  mesh.position.copy(start).addScaledVector(run, 0.5);
  mesh.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), run.normalize()));
  return mesh;
}
