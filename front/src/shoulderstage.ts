// A shoulder in three dimensions that can be turned: bones, light, camera, names; drawn only when something changed.
import { AmbientLight, Color, DirectionalLight, Group, Mesh, PerspectiveCamera, Scene, WebGLRenderer } from "three";
import { bodyWays, type ShoulderShown } from "./accesswire";
import { html } from "./draw";
import { buildBones, vector, type Bones } from "./shoulderbones";
import { ShoulderCamera, type ViewName } from "./shouldercamera";
import { Labels } from "./shoulderlabels";
import { isKept } from "./shouldershapes";
import { drawsBySoftware } from "./shouldersoft";

/** While something moves what follows it waits this long, so that the shoulder itself keeps up. */
const REST_MS = 90;
const COARSE = 0.5;
const VIEWS: [ViewName, string][] = [["outside", "Outside"], ["front", "Front"], ["behind", "Behind"], ["above", "Above"]];

export class ShoulderStage {
  protected readonly scene = new Scene();
  protected readonly bones: Bones;
  protected readonly camera: ShoulderCamera;
  protected readonly labels = new Labels();
  protected readonly day = new Group();
  private readonly renderer: WebGLRenderer;
  private readonly soft: boolean;
  private moving = false;
  private asked = 0;
  private resting = 0;

  /** Throws when this browser has no WebGL. */
  constructor(protected readonly holder: HTMLElement, protected readonly shown: ShoulderShown) {
    this.soft = drawsBySoftware();
    this.renderer = new WebGLRenderer({ antialias: !this.soft });
    this.scene.background = new Color(0xf1eee7);
    this.bones = buildBones(shown);
    this.lights();
    this.scene.add(this.bones.fixed, this.bones.arm, this.bones.skin);
    this.renderer.domElement.setAttribute("aria-hidden", "true");
    holder.replaceChildren(this.renderer.domElement, this.labels.root, this.tools());
    holder.tabIndex = 0;
    holder.setAttribute("role", "application");
    holder.setAttribute("aria-roledescription", "turnable picture");
    const { up, forward, lateral } = bodyWays(shown);
    const target = vector(shown.head).addScaledVector(vector(up), 4).addScaledVector(vector(lateral), 8);
    this.camera = new ShoulderCamera(holder, target, shown.side === "right" ? 1 : -1, () => this.stir());
    this.camera.stand(vector(up), vector(forward), vector(lateral));
    new ResizeObserver(() => this.fit()).observe(holder);
    this.fit();
  }

  /** Something moves: coarse at once where software draws, whole again as soon as it rests. */
  protected stir(): void {
    this.moving = this.soft;
    this.draw();
    window.clearTimeout(this.resting);
    this.resting = window.setTimeout(() => {
      this.rested();
      this.moving = false;
      this.draw();
    }, REST_MS);
  }

  /** What is done only when nothing moves any more. */
  protected rested(): void {}

  protected swap(old: Group, fresh: Group): Group {
    old.traverse((one) => { if (one instanceof Mesh && !isKept(one.geometry)) one.geometry.dispose(); });
    this.scene.remove(old);
    this.scene.add(fresh);
    return fresh;
  }

  private lights(): void {
    const { up, lateral, forward } = bodyWays(this.shown);
    const key = new DirectionalLight(0xffffff, 1.9);
    key.position.copy(vector(up)).addScaledVector(vector(lateral), 0.8).addScaledVector(vector(forward), 0.5);
    const fill = new DirectionalLight(0xdfe8ef, 0.7);
    fill.position.copy(vector(forward)).multiplyScalar(-1).addScaledVector(vector(lateral), 0.6);
    this.day.add(new AmbientLight(0xffffff, 1.15), key, fill);
    this.scene.add(this.day);
  }

  private tools(): HTMLElement {
    const views = VIEWS.map(([view, words]) => {
      const button = html("button", { type: "button" }, words);
      button.addEventListener("click", () => this.camera.look(view));
      return button;
    });
    const near = (words: string, label: string, factor: number): HTMLElement => {
      const button = html("button", { type: "button", "aria-label": label }, words);
      button.addEventListener("click", () => this.camera.nearer(factor));
      return button;
    };
    return html("div", { class: "shoulder-tools", role: "group", "aria-label": "Views of the shoulder" }, ...views, near("+", "Nearer", 1 / 1.2), near("−", "Farther", 1.2));
  }

  private fit(): void {
    const [width, height] = [this.holder.clientWidth, this.holder.clientHeight];
    if (!width || !height) return;
    this.camera.camera.aspect = width / height;
    this.camera.camera.updateProjectionMatrix();
    this.draw();
  }

  protected draw(): void {
    if (this.asked) return;
    this.asked = window.requestAnimationFrame(() => {
      this.asked = 0;
      const camera: PerspectiveCamera = this.camera.camera;
      const ratio = this.moving ? COARSE : this.soft ? 1 : Math.min(2, window.devicePixelRatio);
      const [width, height] = [this.holder.clientWidth, this.holder.clientHeight];
      const canvas = this.renderer.domElement;
      if (canvas.width !== Math.floor(width * ratio) || canvas.height !== Math.floor(height * ratio)) {
        this.renderer.setPixelRatio(ratio);
        this.renderer.setSize(width, height, false);
      }
      this.renderer.render(this.scene, camera);
      this.labels.place(camera, width, height);
    });
  }
}
