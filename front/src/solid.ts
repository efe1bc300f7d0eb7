// The repair in three dimensions, drawn only when something changed: bone, tendon, anchors, limbs, pressure, a cut.
import { AmbientLight, DirectionalLight, Group, Line, Mesh, Plane, Vector3, type PerspectiveCamera } from "three";
import type { MeshShown } from "./accesswire";
import { html } from "./draw";
import { Easel, viewTools } from "./easel";
import { bone, BONE, CARTILAGE, FOOTPRINT, surface } from "./shoulderbones";
import { ShoulderCamera } from "./shouldercamera";
import { Lattice, type LatticeShown } from "./solidchart";
import { anchors, cut, limbs, pressure, tendon, type Named } from "./solidparts";
import type { Chart, Hold, Layout } from "./wire";

export interface SceneShown {
  side: "right" | "left";
  bone: Record<string, MeshShown>;
  lattice: LatticeShown;
  anchors: Record<string, { diameter: number; bed: number }>;
}

const TINTS: Record<string, number> = { cartilage: CARTILAGE, footprint: FOOTPRINT };
const AWAY_MM = 118;
const SQUARE = "Anchors are drawn square to the bone; Access shows from where they are reached.";
const NEAREST_MM = 60;

export class SolidRepair {
  private readonly easel: Easel;
  private readonly camera: ShoulderCamera;
  private readonly lattice: Lattice;
  private readonly names: HTMLElement = html("div", { class: "solid-names", "aria-hidden": "true" });
  private readonly slider: HTMLInputElement;
  private readonly cutting: HTMLInputElement;
  private readonly told: HTMLElement = html("output", {});
  private work = new Group();
  private section = new Group();
  private labels: { named: Named; shown: HTMLElement }[] = [];
  private chart: Chart;

  /** Throws when this browser has no WebGL. */
  constructor(private readonly holder: HTMLElement, private readonly shown: SceneShown, chart: Chart) {
    this.chart = chart;
    this.easel = new Easel(holder, { drawn: (camera, width, height) => this.place(camera, width, height) });
    this.lattice = new Lattice(shown.lattice);
    for (const [name, mesh] of Object.entries(shown.bone)) {
      const material = bone(TINTS[name] ?? BONE, false);
      if (name === "footprint") material.polygonOffset = true;
      this.easel.scene.add(new Mesh(surface(mesh, true), material));
    }
    const lateral = new Vector3(0, 0, shown.side === "right" ? 1 : -1);
    const key = new DirectionalLight(0xffffff, 1.7);
    key.position.set(0.5, 1, 0.8 * lateral.z);
    const fill = new DirectionalLight(0xdfe8ef, 0.7);
    fill.position.set(-1, 0.2, 0.6 * lateral.z);
    this.easel.scene.add(new AmbientLight(0xffffff, 1.2), key, fill, this.work, this.section);
    const { front, width, edge } = chart.strip;
    this.slider = html("input", { type: "range", min: front - 2, max: front + width + 2, step: 0.5, value: front + width / 2, "aria-label": "Place of the cut, mm from the front of the footprint" });
    this.cutting = html("input", { type: "checkbox" });
    for (const one of [this.slider, this.cutting]) one.addEventListener("input", () => this.cut());
    const tools = viewTools("repair", () => this.camera, html("label", { class: "solid-cut" }, this.cutting, "cut"), this.slider, this.told);
    this.easel.hang(`Repair on the ${shown.side} humerus in three dimensions. Arrows turn it, plus and minus come nearer.`, this.names, tools);
    this.camera = new ShoulderCamera(holder, this.lattice.at(front + width / 2, edge / 2), shown.side === "right" ? 1 : -1, () => this.easel.stir(), AWAY_MM, NEAREST_MM);
    this.camera.stand(new Vector3(0, 1, 0), new Vector3(1, 0, 0), lateral);
    this.easel.see(this.camera.camera);
  }

  show(layout: Layout, hold: Hold | null, chart: Chart, pressed: boolean): void {
    this.chart = chart;
    const fresh = new Group();
    const seated = anchors(this.lattice, layout, this.shown.anchors);
    const run = limbs(this.lattice, layout, chart);
    fresh.add(tendon(this.lattice, chart), seated.made, run.made);
    if (hold && pressed) fresh.add(pressure(this.lattice, hold));
    this.work = this.swap(this.work, fresh);
    this.label([...seated.names, ...run.names]);
    this.cut();
  }

  private cut(): void {
    const at = Number(this.slider.value);
    const { edge } = this.chart.strip;
    this.slider.disabled = !this.cutting.checked;
    this.told.textContent = this.cutting.checked ? `${at.toFixed(1)} mm behind the front of the footprint` : SQUARE;
    this.section = this.swap(this.section, this.cutting.checked ? cut(this.lattice, this.chart, at) : new Group());
    const back = this.lattice.back(at, edge / 2);
    const plane = new Plane().setFromNormalAndCoplanarPoint(back, this.lattice.at(at, edge / 2).addScaledVector(back, -0.05));
    this.easel.renderer.clippingPlanes = this.cutting.checked ? [plane] : [];
    this.easel.stir();
  }

  private label(named: readonly Named[]): void {
    this.labels = named.map((one) => ({ named: one, shown: html("span", { class: one.kind }, one.text) }));
    this.names.replaceChildren(...this.labels.map((one) => one.shown));
  }

  private swap(old: Group, fresh: Group): Group {
    old.traverse((one) => { if (one instanceof Mesh || one instanceof Line) one.geometry.dispose(); });
    this.easel.scene.remove(old);
    this.easel.scene.add(fresh);
    return fresh;
  }

  /** Names where their parts are; those cut away or behind the eye are left out. */
  private place(camera: PerspectiveCamera, width: number, height: number): void {
    const { info } = this.easel.renderer;
    this.holder.dataset["triangles"] = String(info.render.triangles);
    this.holder.dataset["frames"] = String(info.render.frame);
    const planes = this.easel.renderer.clippingPlanes as Plane[];
    for (const { named, shown } of this.labels) {
      const at = named.at.clone().project(camera);
      shown.hidden = at.z > 1 || planes.some((plane) => plane.distanceToPoint(named.at) < 0);
      shown.style.transform = `translate(-50%, -50%) translate(${(((at.x + 1) * width) / 2).toFixed(1)}px, ${(((1 - at.y) * height) / 2).toFixed(1)}px)`;
    }
  }
}
