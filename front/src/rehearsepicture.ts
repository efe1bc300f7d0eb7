// The limbs in three dimensions: from anchor, hole or knot to the portal they hang out of; fixed ones over the tendon.
import { Group, Mesh, MeshLambertMaterial, Vector3 } from "three";
import type { Triple } from "./accesswire";
import { hueOf, threadOf } from "./rehearsethread";
import { lives, type Field, type LimbScene, type State, type Step } from "./rehearsewire";
import { placeArm, rodBetween, vector } from "./shoulderbones";
import type { Label } from "./shoulderlabels";
import { ball } from "./shouldershapes";
import { ShoulderStage } from "./shoulderstage";

const NEARER = 0.78;
const OUT_MM = 16;
const THIN = 0.45;
const THICK = 0.95;
const DASH_MM = 3;
const STEEL = 0x8b949c;
const MARK = 0x1d2228;
const LIFT_MM = 1.2;

export class LimbsPicture extends ShoulderStage {
  private limbs = new Group();

  /** Throws when this browser has no WebGL. */
  constructor(holder: HTMLElement, private readonly set: LimbScene) {
    super(holder, set.shoulder);
    this.scene.add(this.limbs);
    placeArm(this.bones.arm, set.arm.turn, set.arm.head);
    this.camera.nearer(NEARER);
  }

  show(field: Field, state: State, step: Step | null): void {
    const moved = new Set(step?.move.limbs ?? []);
    const fresh = new Group();
    const labels: Label[] = [];
    for (const portal of field.portals) {
      const at = this.set.portals[portal.name];
      if (!at) continue;
      fresh.add(this.spot(at, 2.1, MARK));
      labels.push({ at, words: `${portal.code} ${portal.name}`, cls: "portal" });
      if (portal.name === state.scope) fresh.add(this.scopeFrom(vector(at), field));
    }
    for (const one of [...field.carriers, ...field.seats]) {
      const at = this.set.sites[one.name];
      if (at && this.isPlaced(field, state, one.name)) fresh.add(this.spot(at, 1.8, MARK));
    }
    field.limbs.forEach((limb, i) => {
      const ends = this.ends(field, state, i);
      if (!ends) return;
      const here = moved.has(limb.name);
      fresh.add(this.strand(ends[0], ends[1], here ? THICK : THIN, field, limb.name));
      if (here) labels.unshift({ at: ends[0].toArray() as Triple, words: limb.name, cls: "site" });
    });
    this.limbs = this.swap(this.limbs, fresh);
    this.labels.put(labels);
    this.holder.setAttribute("aria-label", `${this.set.shoulder.side} shoulder in three dimensions with its limbs, ${this.set.pose_words}. Arrows turn it, plus and minus come nearer.`);
    this.stir();
  }

  /** Names of limbs that cannot be drawn here, since their hole or portal has no place in the shoulder. */
  lost(field: Field): string[] {
    return field.limbs.filter((limb) => limb.holed && !this.set.sites[limb.name]).map((limb) => limb.name);
  }

  private isPlaced(field: Field, state: State, name: string): boolean {
    return field.limbs.some((limb, i) => {
      const [stage, where] = state.limbs[i]!;
      const carrier = field.sutures.find((one) => one.name === limb.suture)?.carrier;
      return carrier === name ? stage !== "outside" : stage === "fixed" && where === name;
    });
  }

  private ends(field: Field, state: State, i: number): [Vector3, Vector3] | null {
    const [stage, where] = state.limbs[i]!;
    const limb = field.limbs[i]!;
    const suture = field.sutures.find((one) => one.name === limb.suture);
    const own = this.set.sites[limb.name];
    const pair = suture?.limbs.map((name) => this.set.sites[name]).filter((one) => one !== undefined) ?? [];
    const knot = pair.length ? pair.reduce((sum, one) => sum.add(vector(one)), new Vector3()).divideScalar(pair.length) : null;
    const eyelet = this.set.sites[suture?.carrier ?? ""];
    const hole = own ? vector(own) : eyelet ? vector(eyelet) : null;
    if (lives([stage, where])) {
      const start = stage === "unpassed" ? (eyelet ? vector(eyelet) : hole) : stage === "knotted" ? knot ?? hole : hole;
      const portal = this.set.portals[where];
      if (!start || !portal) return null;
      const skin = vector(portal);
      return [start, skin.clone().addScaledVector(skin.clone().sub(start).normalize(), OUT_MM)];
    }
    const seat = stage === "fixed" ? this.set.sites[where] : undefined;
    const start = suture?.ending === "knotless" ? hole : knot ?? hole;
    if (!seat || !start) return null;
    const head = vector(this.set.arm.head);
    const lifted = (point: Vector3): Vector3 => point.clone().addScaledVector(point.clone().sub(head).normalize(), LIFT_MM);
    return [lifted(start), lifted(vector(seat))];
  }

  /** A limb in its hue; a dashed thread in pieces, a tracer with a thin light core beside it. */
  private strand(start: Vector3, end: Vector3, radius: number, field: Field, name: string): Group {
    const group = new Group();
    const thread = threadOf(field, name);
    const material = new MeshLambertMaterial({ color: hueOf(thread) });
    if (thread.pattern !== "dashed") {
      group.add(rodBetween(start, end, radius, material));
      if (thread.pattern === "tracer") {
        const core = new MeshLambertMaterial({ color: thread.hue === "#000000" ? 0xffffff : MARK });
        const shift = new Vector3(0, radius * 0.9, 0);
        group.add(rodBetween(start.clone().add(shift), end.clone().add(shift), radius * 0.45, core));
      }
      return group;
    }
    const run = end.clone().sub(start);
    const pieces = Math.max(1, Math.floor(run.length() / (2 * DASH_MM)));
    for (let k = 0; k < pieces; k++) {
      const [a, b] = [k / pieces, (k + 0.5) / pieces];
      group.add(rodBetween(start.clone().addScaledVector(run, a), start.clone().addScaledVector(run, b), radius, material));
    }
    return group;
  }

  private spot(at: Triple, radius: number, color: number): Mesh {
    const dot = new Mesh(ball(radius), new MeshLambertMaterial({ color }));
    dot.position.set(...at);
    return dot;
  }

  private scopeFrom(skin: Vector3, field: Field): Mesh {
    const places = field.limbs.map((limb) => this.set.sites[limb.name]).filter((one) => one !== undefined);
    const middle = places.reduce((sum, one) => sum.add(vector(one)), new Vector3()).divideScalar(Math.max(1, places.length));
    const way = middle.clone().sub(skin).normalize();
    return rodBetween(skin.clone().addScaledVector(way, -OUT_MM), skin.clone().addScaledVector(way, 24), 2, new MeshLambertMaterial({ color: STEEL }));
  }
}
