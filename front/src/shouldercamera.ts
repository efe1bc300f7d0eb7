// Looking at the shoulder: drag or arrow keys turn it, plus and minus come nearer; named views by button.
import { PerspectiveCamera, Vector3 } from "three";
import { arrow } from "./accesskeys";

const TURN_DEGREES = 10;
const PER_PIXEL = 0.45;
const STEEPEST = 86;
const NEAREST = 110;
const FARTHEST = 520;

export type ViewName = "outside" | "front" | "behind" | "above";

export class ShoulderCamera {
  readonly camera = new PerspectiveCamera(30, 1, 5, 2000);
  private azimuth = 0;
  private height = 0;
  private up = new Vector3(0, 1, 0);
  private ahead = new Vector3(1, 0, 0);
  private lateral = new Vector3(0, 0, 1);

  constructor(private readonly holder: HTMLElement, private readonly target: Vector3, private readonly side: 1 | -1, private readonly changed: () => void, private away = 300, private readonly nearest = NEAREST) {
    holder.addEventListener("keydown", (event) => this.key(event));
    holder.addEventListener("pointerdown", (event) => this.press(event));
    holder.addEventListener("pointermove", (event) => this.drag(event));
    holder.addEventListener("wheel", (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      this.nearer(event.deltaY > 0 ? 1.08 : 1 / 1.08);
    }, { passive: false });
    this.look("outside");
  }

  /** Which way is up on the screen, and from where the named views look. */
  stand(up: Vector3, ahead: Vector3, lateral: Vector3): void {
    this.up = up.clone().normalize();
    this.ahead = ahead.clone().addScaledVector(this.up, -ahead.dot(this.up)).normalize();
    this.lateral = new Vector3().crossVectors(this.ahead, this.up);
    if (this.lateral.dot(lateral) < 0 && Math.abs(this.up.dot(lateral)) < 0.7) this.lateral.negate();
    this.place();
  }

  look(view: ViewName): void {
    const [azimuth, height] = { outside: [-28, 26], front: [-88, 12], behind: [88, 12], above: [-4, 78] }[view] as [number, number];
    this.azimuth = azimuth;
    this.height = height;
    this.place();
  }

  nearer(factor: number): void {
    this.away = Math.min(FARTHEST, Math.max(this.nearest, this.away * factor));
    this.place();
  }

  private turn(across: number, over: number): void {
    this.azimuth += across * this.side;
    this.height = Math.min(STEEPEST, Math.max(-STEEPEST, this.height + over));
    this.place();
  }

  private place(): void {
    const [a, h] = [(this.azimuth * Math.PI) / 180, (this.height * Math.PI) / 180];
    const way = this.lateral.clone().multiplyScalar(Math.cos(a)).addScaledVector(this.ahead, -Math.sin(a)).multiplyScalar(Math.cos(h)).addScaledVector(this.up, Math.sin(h));
    this.camera.up.copy(this.up);
    this.camera.position.copy(this.target).addScaledVector(way, this.away);
    this.camera.lookAt(this.target);
    this.changed();
  }

  private key(event: KeyboardEvent): void {
    if (event.target !== this.holder || event.ctrlKey || event.metaKey || event.altKey) return;
    const [right, down] = arrow(event.key);
    if (right || down) this.turn(-right * TURN_DEGREES, -down * TURN_DEGREES);
    else if (event.key === "+" || event.key === "=") this.nearer(1 / 1.12);
    else if (event.key === "-") this.nearer(1.12);
    else return;
    event.preventDefault();
  }

  private press(event: PointerEvent): void {
    if (event.button !== 0 || (event.target instanceof Element && event.target.closest("button, label, input"))) return;
    this.holder.setPointerCapture(event.pointerId);
  }

  private drag(event: PointerEvent): void {
    if (this.holder.hasPointerCapture(event.pointerId)) this.turn(event.movementX * PER_PIXEL, event.movementY * PER_PIXEL);
  }
}
