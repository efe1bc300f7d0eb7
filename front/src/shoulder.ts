// The shoulder of Access in three dimensions: bones, skin, nerves, marks, and the picture through the arthroscope.
import { Group, Vector3 } from "three";
import { bodyWays, type Live, type ShoulderShown } from "./accesswire";
import type { Chosen } from "./accesstable";
import { placeArm, vector } from "./shoulderbones";
import { buildMarks, buildScope } from "./shouldermarks";
import { buildNerves } from "./shouldernerves";
import { Eyepiece } from "./shoulderscope";
import { ShoulderStage } from "./shoulderstage";

export class ShoulderPicture extends ShoulderStage {
  private readonly eyepiece: Eyepiece;
  private marks = new Group();
  private scope = new Group();
  private nerves = new Group();
  private live: Live | null = null;

  /** Throws when this browser has no WebGL. */
  constructor(holder: HTMLElement, eye: HTMLElement, shown: ShoulderShown) {
    super(holder, shown);
    this.scene.add(this.marks, this.scope, this.nerves);
    this.eyepiece = new Eyepiece(eye, vector(bodyWays(shown).up));
  }

  show(live: Live, chosen: Chosen | null): void {
    placeArm(this.bones.arm, live.arm.turn, live.arm.head);
    this.marks = this.swap(this.marks, buildMarks(live, chosen, new Vector3(...live.arm.head)));
    this.scope = this.swap(this.scope, buildScope(live));
    this.nerves = this.swap(this.nerves, buildNerves(live.nerves));
    const { up, forward, lateral } = bodyWays(this.shown);
    const lying = live.pose.place === "lateral decubitus";
    this.camera.stand(vector(lying ? lateral : up), vector(forward), vector(lying ? (up.map((x) => -x) as typeof up) : lateral));
    this.labels.set(live, chosen);
    this.holder.setAttribute("aria-label", `${this.shown.side} shoulder in three dimensions, ${live.pose_words}. Arrows turn it, plus and minus come nearer.`);
    this.live = live;
    this.stir();
  }

  protected override rested(): void {
    if (this.live) this.look(this.live);
  }

  /** The picture through the scope: without the skin, and without the scope itself. */
  private look(live: Live): void {
    const apart = [this.scope, this.bones.skin, this.day];
    for (const one of apart) one.visible = false;
    this.eyepiece.show(this.scene, live.scope);
    for (const one of apart) one.visible = true;
  }
}
