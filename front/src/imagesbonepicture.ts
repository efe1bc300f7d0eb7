// A humerus from CT from all sides: its surface, the sphere and where it was seen, the shaft's axis, the footprint.
import {
  AmbientLight, BufferAttribute, BufferGeometry, DirectionalLight, DoubleSide, Mesh, MeshLambertMaterial, Points, PointsMaterial, SphereGeometry,
  Vector3,
} from "three";
import type { MeshShown } from "./accesswire";
import { Easel, viewTools } from "./easel";
import { bone, BONE, FOOTPRINT, rodBetween, surface } from "./shoulderbones";
import { ShoulderCamera } from "./shouldercamera";

export interface BoneScene {
  side: "right" | "left";
  bone: MeshShown;
  radius: number;
  centre_sd: number[];
  seen: number[];
  axis: number[] | null;
  footprint: { points: number[]; along: number; across: number } | null;
}

const SPHERE = 0x00707a;
const AXIS = 0x1d2228;
const AXIS_MM = 0.9;
const AWAY_MM = 190;
const NEAREST_MM = 70;

export class BonePicture {
  private readonly easel: Easel;
  private readonly camera: ShoulderCamera;

  /** Throws when this browser has no WebGL. */
  constructor(holder: HTMLElement, shown: BoneScene) {
    this.easel = new Easel(holder);
    const { scene } = this.easel;
    const lateral = new Vector3(shown.side === "right" ? -1 : 1, 0, 0);
    scene.add(new Mesh(surface(shown.bone, true), bone(BONE, false)), sphere(shown.radius), seen(shown.seen));
    if (shown.axis) {
      const [a, b] = [new Vector3(...shown.axis.slice(0, 3)), new Vector3(...shown.axis.slice(3))];
      scene.add(rodBetween(a, b, AXIS_MM, new MeshLambertMaterial({ color: AXIS })));
    }
    if (shown.footprint) scene.add(footprint(shown.footprint));
    const key = new DirectionalLight(0xffffff, 1.8);
    key.position.copy(lateral).multiplyScalar(0.8).add(new Vector3(0, -0.5, 1));
    const fill = new DirectionalLight(0xdfe8ef, 0.7);
    fill.position.copy(lateral).multiplyScalar(0.6).add(new Vector3(0, 1, 0.2));
    scene.add(new AmbientLight(0xffffff, 1.1), key, fill);
    this.easel.hang(`${shown.side} humerus of the scan in three dimensions. Arrows turn it, plus and minus come nearer.`, viewTools("humerus", () => this.camera));
    this.camera = new ShoulderCamera(holder, new Vector3(0, 0, 0), shown.side === "right" ? 1 : -1, () => this.easel.stir(), AWAY_MM, NEAREST_MM);
    this.camera.stand(new Vector3(0, 0, 1), new Vector3(0, -1, 0), lateral);
    this.easel.see(this.camera.camera);
  }

  /** Give the picture's memory back. */
  close(): void {
    this.easel.scene.traverse((one) => { if (one instanceof Mesh || one instanceof Points) one.geometry.dispose(); });
    this.easel.renderer.dispose();
    this.easel.renderer.forceContextLoss();
  }
}

/** The whole sphere, see-through. */
function sphere(radius: number): Mesh {
  const made = new Mesh(new SphereGeometry(radius, 48, 32), new MeshLambertMaterial({ color: SPHERE, transparent: true, opacity: 0.28, side: DoubleSide, depthWrite: false }));
  made.renderOrder = 3;
  return made;
}

/** The ends of the rays that agree with the sphere, as dots. */
function seen(points: readonly number[]): Points {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(points), 3));
  return new Points(geometry, new PointsMaterial({ color: SPHERE, size: 1.1 }));
}

function footprint({ points, along, across }: { points: number[]; along: number; across: number }): Mesh {
  const triangles: number[] = [];
  for (let i = 0; i + 1 < along; i++) {
    for (let j = 0; j + 1 < across; j++) {
      const at = i * across + j;
      triangles.push(at, at + across, at + across + 1, at, at + across + 1, at + 1);
    }
  }
  return new Mesh(surface({ points, triangles }, true), bone(FOOTPRINT, false));
}
