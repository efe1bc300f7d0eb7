// What is planned: sites, portals with the error of the stab, paths to the chosen site, cannula, scope and its cone.
import {
  BufferGeometry, ConeGeometry, DoubleSide, Group, Line, LineBasicMaterial, LineDashedMaterial, Mesh, MeshBasicMaterial, MeshLambertMaterial,
  Quaternion, Vector3,
} from "three";
import type { Chosen } from "./accesstable";
import type { Cell, Live } from "./accesswire";
import { rodBetween, vector } from "./shoulderbones";
import { ball, ring } from "./shouldershapes";

const MOVE = 0x00707a;
const YES = 0x1d4f7c;
const MOVED = 0xb36b00;
const NO = 0x7d7468;
const INK = 0x1d2228;
const STEEL = 0x8b949c;
const CANNULA_MM = 34;
const CANNULA_WALL = 1.2;
const CONE_MM = 30;
const COLOUR: Record<Cell["answer"], number> = { yes: YES, moved: MOVED, no: NO };

export function buildMarks(live: Live, chosen: Chosen | null, head: Vector3): Group {
  const group = new Group();
  for (const site of live.sites) {
    const here = site.name === chosen?.site;
    const color = here ? INK : site.kind === "hole" ? 0xffffff : MOVE;
    const spot = new Mesh(ball(site.kind === "hole" ? 1.1 : 1.9), new MeshLambertMaterial({ color }));
    spot.position.set(...site.point);
    group.add(spot);
  }
  for (const portal of live.portals) {
    const at = vector(portal.skin);
    const dot = new Mesh(ball(2.1), new MeshLambertMaterial({ color: MOVE }));
    dot.position.copy(at);
    const around = new Mesh(ring(Math.max(0.5, portal.place.error)), new MeshBasicMaterial({ color: MOVE }));
    around.position.copy(at);
    around.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 0, 1), at.clone().sub(head).normalize()));
    group.add(dot, around);
  }
  if (chosen) group.add(paths(live, chosen));
  return group;
}

function paths(live: Live, chosen: Chosen): Group {
  const group = new Group();
  const site = live.sites.find((one) => one.name === chosen.site);
  if (!site) return group;
  const end = vector(site.point);
  for (const cell of live.cells.filter((one) => one.site === site.name)) {
    const portal = live.portals.find((one) => one.name === cell.portal);
    if (!portal) continue;
    const start = vector(portal.skin);
    const color = COLOUR[cell.answer];
    if (cell.portal === chosen.portal) {
      const way = start.clone().sub(end).normalize();
      group.add(rodBetween(start.clone().addScaledVector(way, 45), end, site.diameter / 2, new MeshLambertMaterial({ color })));
      const tube = new MeshLambertMaterial({ color: 0x6aa9b0, transparent: true, opacity: 0.45, depthWrite: false });
      const cannula = rodBetween(start.clone().addScaledVector(way, 12), start.clone().addScaledVector(way, -Math.min(CANNULA_MM, start.distanceTo(end) - 12)), site.diameter / 2 + CANNULA_WALL, tube);
      cannula.renderOrder = 6;
      group.add(cannula);
    } else {
      const free = cell.answer === "yes";
      const material = free ? new LineBasicMaterial({ color }) : new LineDashedMaterial({ color, dashSize: 2.5, gapSize: 2.5 });
      const line = new Line(new BufferGeometry().setFromPoints([start, end]), material);
      line.computeLineDistances();
      group.add(line);
    }
  }
  return group;
}

/** The arthroscope from skin to tip, and the cone it sees. */
export function buildScope(live: Live): Group {
  const group = new Group();
  const { skin, tip, ahead, half_field: half, radius } = live.scope;
  const [start, end] = [vector(skin), vector(tip)];
  const out = start.clone().addScaledVector(start.clone().sub(end).normalize(), 40);
  group.add(rodBetween(out, end, radius, new MeshLambertMaterial({ color: live.scope.stopped ? 0xa3180f : STEEL })));
  const wide = CONE_MM * Math.tan((half * Math.PI) / 180);
  const cone = new Mesh(new ConeGeometry(wide, CONE_MM, 28, 1, true), new MeshLambertMaterial({ color: 0x7fa7c4, transparent: true, opacity: 0.26, side: DoubleSide, depthWrite: false }));
  const way = vector(ahead).normalize();
  cone.position.copy(end).addScaledVector(way, CONE_MM / 2);
  cone.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), way.clone().negate()));
  cone.renderOrder = 6;
  group.add(cone);
  return group;
}
