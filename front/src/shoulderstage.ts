// A shoulder in three dimensions that can be turned: bones, light, camera, names; drawn only when something changed.
import { AmbientLight, DirectionalLight, Group, Mesh } from "three";
import { bodyWays, type ShoulderShown } from "./accesswire";
import { Easel, viewTools } from "./easel";
import { buildBones, vector, type Bones } from "./shoulderbones";
import { ShoulderCamera } from "./shouldercamera";
import { Labels } from "./shoulderlabels";
import { isKept } from "./shouldershapes";

export class ShoulderStage {
  protected readonly bones: Bones;
  protected readonly camera: ShoulderCamera;
  protected readonly labels = new Labels();
  protected readonly day = new Group();
  private readonly easel: Easel;

  /** Throws when this browser has no WebGL. */
  constructor(protected readonly holder: HTMLElement, protected readonly shown: ShoulderShown) {
    this.easel = new Easel(holder, { rested: () => this.rested(), drawn: (camera, width, height) => this.labels.place(camera, width, height) });
    this.bones = buildBones(shown);
    this.lights();
    this.scene.add(this.bones.fixed, this.bones.arm, this.bones.skin);
    this.easel.hang(`${shown.side} shoulder in three dimensions. Arrows turn it, plus and minus come nearer.`, this.labels.root, viewTools("shoulder", () => this.camera));
    const { up, forward, lateral } = bodyWays(shown);
    const target = vector(shown.head).addScaledVector(vector(up), 4).addScaledVector(vector(lateral), 8);
    this.camera = new ShoulderCamera(holder, target, shown.side === "right" ? 1 : -1, () => this.stir());
    this.camera.stand(vector(up), vector(forward), vector(lateral));
    this.easel.see(this.camera.camera);
  }

  protected get scene(): Easel["scene"] {
    return this.easel.scene;
  }

  protected stir(): void {
    this.easel.stir();
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

  protected draw(): void {
    this.easel.draw();
  }
}
