// A humerus from CT from all sides: its surface, the sphere and where it was seen, the shaft's axis, the footprint.
import {
  AmbientLight, BufferAttribute, BufferGeometry, Color, DirectionalLight, DoubleSide, Mesh, MeshLambertMaterial, Points, PointsMaterial, Scene,
  SphereGeometry, Vector3, WebGLRenderer,
} from "three";
import type { MeshShown } from "./accesswire";
import { html } from "./draw";
import { bone, BONE, FOOTPRINT, rodBetween, surface } from "./shoulderbones";
import { ShoulderCamera, type ViewName } from "./shouldercamera";
import { drawsBySoftware } from "./shouldersoft";

export interface BoneScene {
  side: "right" | "left";
  bone: MeshShown;
  radius: number;
  centre_sd: number[];
  seen: number[];
  axis: number[] | null;
  footprint: { points: number[]; along: number; across: number } | null;
}

const VIEWS: [ViewName, string][] = [["outside", "Outside"], ["front", "Front"], ["behind", "Behind"], ["above", "Above"]];
const SPHERE = 0x00707a;
const AXIS = 0x1d2228;
const AXIS_MM = 0.9;
const AWAY_MM = 190;
const NEAREST_MM = 70;
const REST_MS = 120;
const COARSE = 0.6;

export class BonePicture {
  private readonly scene = new Scene();
  private readonly renderer: WebGLRenderer;
  private readonly soft = drawsBySoftware();
  private readonly camera: ShoulderCamera;
  private asked = 0;
  private resting = 0;
  private moving = false;

  /** Throws when this browser has no WebGL. */
  constructor(private readonly holder: HTMLElement, shown: BoneScene) {
    this.renderer = new WebGLRenderer({ antialias: !this.soft });
    this.renderer.domElement.setAttribute("aria-hidden", "true");
    this.scene.background = new Color(0xf1eee7);
    const lateral = new Vector3(shown.side === "right" ? -1 : 1, 0, 0);
    this.scene.add(new Mesh(surface(shown.bone, true), bone(BONE, false)), sphere(shown.radius), seen(shown.seen));
    if (shown.axis) {
      const [a, b] = [new Vector3(...shown.axis.slice(0, 3)), new Vector3(...shown.axis.slice(3))];
      this.scene.add(rodBetween(a, b, AXIS_MM, new MeshLambertMaterial({ color: AXIS })));
    }
    if (shown.footprint) this.scene.add(footprint(shown.footprint));
    const key = new DirectionalLight(0xffffff, 1.8);
    key.position.copy(lateral).multiplyScalar(0.8).add(new Vector3(0, -0.5, 1));
    const fill = new DirectionalLight(0xdfe8ef, 0.7);
    fill.position.copy(lateral).multiplyScalar(0.6).add(new Vector3(0, 1, 0.2));
    this.scene.add(new AmbientLight(0xffffff, 1.1), key, fill);
    holder.replaceChildren(this.renderer.domElement, this.tools());
    holder.tabIndex = 0;
    holder.setAttribute("role", "application");
    holder.setAttribute("aria-roledescription", "turnable picture");
    holder.setAttribute("aria-label", `${shown.side} humerus of the scan in three dimensions. Arrows turn it, plus and minus come nearer.`);
    this.camera = new ShoulderCamera(holder, new Vector3(0, 0, 0), shown.side === "right" ? 1 : -1, () => this.stir(), AWAY_MM, NEAREST_MM);
    this.camera.stand(new Vector3(0, 0, 1), new Vector3(0, -1, 0), lateral);
    new ResizeObserver(() => this.fit()).observe(holder);
    this.fit();
  }

  /** Give the picture's memory back. */
  close(): void {
    this.scene.traverse((one) => { if (one instanceof Mesh || one instanceof Points) one.geometry.dispose(); });
    this.renderer.dispose();
    this.renderer.forceContextLoss();
  }

  private tools(): HTMLElement {
    const button = (words: string, label: string, does: () => void): HTMLElement => {
      const one = html("button", { type: "button", "aria-label": label }, words);
      one.addEventListener("click", does);
      return one;
    };
    const views = VIEWS.map(([view, words]) => button(words, words, () => this.camera.look(view)));
    return html("div", { class: "shoulder-tools", role: "group", "aria-label": "Views of the humerus" }, ...views, button("+", "Nearer", () => this.camera.nearer(1 / 1.2)), button("−", "Farther", () => this.camera.nearer(1.2)));
  }

  private stir(): void {
    this.moving = this.soft;
    this.draw();
    window.clearTimeout(this.resting);
    this.resting = window.setTimeout(() => {
      this.moving = false;
      this.draw();
    }, REST_MS);
  }

  private fit(): void {
    const [width, height] = [this.holder.clientWidth, this.holder.clientHeight];
    if (!width || !height) return;
    this.camera.camera.aspect = width / height;
    this.camera.camera.updateProjectionMatrix();
    this.draw();
  }

  private draw(): void {
    if (this.asked) return;
    this.asked = window.requestAnimationFrame(() => {
      this.asked = 0;
      const [width, height] = [this.holder.clientWidth, this.holder.clientHeight];
      if (!width || !height) return;
      this.renderer.setPixelRatio(this.moving ? COARSE : this.soft ? 1 : Math.min(2, window.devicePixelRatio));
      this.renderer.setSize(width, height, false);
      this.renderer.render(this.scene, this.camera.camera);
    });
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
