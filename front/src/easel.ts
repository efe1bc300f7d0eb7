// A turnable picture's easel: drawn only when something changed, coarse while it moves where software draws it.
import { Color, Scene, WebGLRenderer, type PerspectiveCamera } from "three";
import { html } from "./draw";
import type { ShoulderCamera, ViewName } from "./shouldercamera";
import { drawsBySoftware } from "./shouldersoft";

const REST_MS = 110;
const COARSE = 0.55;
const GROUND = 0xf1eee7;
const VIEWS: [ViewName, string][] = [["outside", "Outside"], ["front", "Front"], ["behind", "Behind"], ["above", "Above"]];

interface Follows {
  /** What is done only when nothing moves any more. */
  rested?: () => void;
  /** What is laid over the drawn picture of so many pixels. */
  drawn?: (camera: PerspectiveCamera, width: number, height: number) => void;
}

export class Easel {
  readonly scene = new Scene();
  readonly renderer: WebGLRenderer;
  private readonly soft = drawsBySoftware();
  private camera: PerspectiveCamera | null = null;
  private asked = 0;
  private resting = 0;
  private moving = false;

  /** Throws when this browser has no WebGL. */
  constructor(private readonly holder: HTMLElement, private readonly follows: Follows = {}) {
    this.renderer = new WebGLRenderer({ antialias: !this.soft });
    this.renderer.domElement.setAttribute("aria-hidden", "true");
    this.scene.background = new Color(GROUND);
  }

  /** Put the picture into its holder, under ``over``, for the keyboard too. */
  hang(label: string, ...over: HTMLElement[]): void {
    this.holder.replaceChildren(this.renderer.domElement, ...over);
    this.holder.tabIndex = 0;
    this.holder.setAttribute("role", "application");
    this.holder.setAttribute("aria-roledescription", "turnable picture");
    this.holder.setAttribute("aria-label", label);
  }

  /** From now on draw what ``camera`` sees, as large as the holder is. */
  see(camera: PerspectiveCamera): void {
    this.camera = camera;
    new ResizeObserver(() => this.fit()).observe(this.holder);
    this.fit();
  }

  /** Something moves: coarse at once where software draws, whole again as soon as it rests. */
  stir(): void {
    this.moving = this.soft;
    this.draw();
    window.clearTimeout(this.resting);
    this.resting = window.setTimeout(() => {
      this.follows.rested?.();
      this.moving = false;
      this.draw();
    }, REST_MS);
  }

  draw(): void {
    if (this.asked) return;
    this.asked = window.requestAnimationFrame(() => {
      this.asked = 0;
      const [width, height] = [this.holder.clientWidth, this.holder.clientHeight];
      if (!width || !height || !this.camera) return;
      const ratio = this.moving ? COARSE : this.soft ? 1 : Math.min(2, window.devicePixelRatio);
      const canvas = this.renderer.domElement;
      if (canvas.width !== Math.floor(width * ratio) || canvas.height !== Math.floor(height * ratio)) {
        this.renderer.setPixelRatio(ratio);
        this.renderer.setSize(width, height, false);
      }
      this.renderer.render(this.scene, this.camera);
      this.follows.drawn?.(this.camera, width, height);
    });
  }

  private fit(): void {
    const [width, height] = [this.holder.clientWidth, this.holder.clientHeight];
    if (!width || !height || !this.camera) return;
    this.camera.aspect = width / height;
    this.camera.updateProjectionMatrix();
    this.draw();
  }
}

/** Buttons for the views and for nearer and farther, with ``more`` behind them. */
export function viewTools(of: string, camera: () => ShoulderCamera, ...more: HTMLElement[]): HTMLElement {
  const button = (words: string, label: string, does: () => void): HTMLElement => {
    const one = html("button", { type: "button", "aria-label": label }, words);
    one.addEventListener("click", does);
    return one;
  };
  return html("div", { class: "shoulder-tools", role: "group", "aria-label": `Views of the ${of}` },
    ...VIEWS.map(([view, words]) => button(words, words, () => camera().look(view))),
    button("+", "Nearer", () => camera().nearer(1 / 1.2)), button("−", "Farther", () => camera().nearer(1.2)), ...more);
}
