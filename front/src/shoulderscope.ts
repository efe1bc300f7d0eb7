// The picture as the arthroscope has it: round, looking off its shaft by 30 or 70 degrees.
import { AmbientLight, Group, PerspectiveCamera, PointLight, Vector3, WebGLRenderer, type Scene } from "three";
import type { Scope } from "./accesswire";
import { vector } from "./shoulderbones";

const SIZE_PX = 216;

export class Eyepiece {
  private readonly renderer = new WebGLRenderer({ antialias: true });
  private readonly camera = new PerspectiveCamera(66, 1, 1, 400);
  private readonly lamp = new PointLight(0xfff4e0, 2.4, 0, 0);
  private readonly light = new Group().add(this.lamp, new AmbientLight(0xffffff, 0.5));

  constructor(holder: HTMLElement, private readonly up: Vector3) {
    this.renderer.setSize(SIZE_PX, SIZE_PX, false);
    this.renderer.domElement.setAttribute("aria-hidden", "true");
    holder.replaceChildren(this.renderer.domElement);
  }

  show(scene: Scene, scope: Scope): void {
    const tip = vector(scope.tip);
    this.camera.fov = 2 * scope.half_field;
    this.camera.up.copy(this.up);
    this.camera.position.copy(tip);
    this.camera.lookAt(tip.clone().add(vector(scope.ahead)));
    this.camera.updateProjectionMatrix();
    this.lamp.position.copy(tip);
    scene.add(this.light);
    this.renderer.render(scene, this.camera);
    scene.remove(this.light);
  }
}
