// Nerves: never a line alone, but a tube in which they lie in nine of ten people, and the shortest distance published.
import {
  BufferGeometry, CatmullRomCurve3, Group, Line, LineDashedMaterial, Mesh, MeshLambertMaterial, TubeGeometry,
} from "three";
import type { Nerves } from "./accesswire";
import { vector } from "./shoulderbones";
import { ball } from "./shouldershapes";

const NERVE = 0xd9a400;
const DARK = 0x6f5300;

export function buildNerves(nerves: Nerves): Group {
  const group = new Group();
  const curve = new CatmullRomCurve3(nerves.axillary.curve.map(vector));
  group.add(new Mesh(new TubeGeometry(curve, 40, 1.1, 8), new MeshLambertMaterial({ color: NERVE })));
  const tube = new Mesh(new TubeGeometry(curve, 40, nerves.axillary.radius, 16), haze());
  tube.renderOrder = 4;
  group.add(tube);
  const floor = new Line(new BufferGeometry().setFromPoints(nerves.axillary.floor.map(vector)), new LineDashedMaterial({ color: DARK, dashSize: 3, gapSize: 2 }));
  floor.computeLineDistances();
  group.add(floor);
  for (const spot of nerves.spots) {
    const point = new Mesh(ball(1.8), new MeshLambertMaterial({ color: NERVE }));
    const around = new Mesh(ball(spot.radius), haze());
    around.renderOrder = 4;
    point.position.set(...spot.at);
    around.position.set(...spot.at);
    group.add(point, around);
  }
  return group;
}

function haze(): MeshLambertMaterial {
  return new MeshLambertMaterial({ color: NERVE, transparent: true, opacity: 0.22, depthWrite: false });
}
