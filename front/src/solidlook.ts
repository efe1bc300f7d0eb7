// Map or three dimensions: the second is fetched and built when it is first looked at.
import { place } from "./draw";
import type { SceneShown, SolidRepair } from "./solid";
import { ask, type Chart, type Hold, type Layout } from "./wire";

export class SolidLook {
  private picture: SolidRepair | null = null;
  private building = false;
  private on = false;
  private side = "";

  constructor(private readonly path: string, private readonly redraw: () => void, private readonly trouble: (wrong: unknown) => void) {
    place("look-map").addEventListener("click", () => this.set(false));
    place("look-solid").addEventListener("click", () => this.set(true));
  }

  toggle(): void {
    this.set(!this.on);
  }

  show(layout: Layout, hold: Hold | null, chart: Chart, pressed: boolean): void {
    if (!this.on) return;
    const bones = JSON.stringify([chart.groove, chart.back, chart.strip.width]);
    if (this.picture && bones === this.side) this.picture.show(layout, hold, chart, pressed);
    else void this.build(chart, bones);
  }

  private set(on: boolean): void {
    this.on = on;
    place("solid").hidden = !on;
    place("map").hidden = on;
    place("look-map").setAttribute("aria-pressed", String(!on));
    place("look-solid").setAttribute("aria-pressed", String(on));
    if (on) this.redraw();
  }

  private async build(chart: Chart, bones: string): Promise<void> {
    if (this.building) return;
    this.building = true;
    try {
      const [{ SolidRepair }, scene] = await Promise.all([import("./solid"), ask<SceneShown>(this.path)]);
      const holder = place("solid");
      const fresh = holder.cloneNode(false) as HTMLElement;
      holder.replaceWith(fresh);
      this.picture = new SolidRepair(fresh, scene, chart);
      this.side = bones;
      this.redraw();
    } catch (wrong) {
      if (wrong instanceof Error && wrong.message === "no WebGL") place("solid").textContent = "This browser draws nothing in three dimensions (no WebGL); the map shows the same repair.";
      else this.trouble(wrong);
    } finally {
      this.building = false;
    }
  }
}
