// Names over the picture: portals by their full trade names, the chosen site, the nerve; pushed apart where they meet.
import { Vector3, type PerspectiveCamera } from "three";
import type { Chosen } from "./accesstable";
import type { Live, Triple } from "./accesswire";
import { html } from "./draw";

const ROW_PX = 19;
const LETTER_PX = 7;
const WAYS: [number, number][] = [[1, 0], [-1, 0], [1, -1], [1, 1], [-1, -1], [-1, 1], [1, -2], [1, 2], [-1, 2]];

export interface Label { at: Triple; words: string; cls: string }

export class Labels {
  readonly root = html("div", { class: "shoulder-labels", "aria-hidden": "true" });
  private names: { at: Triple; element: HTMLElement; long: number }[] = [];

  set(live: Live, chosen: Chosen | null): void {
    const found: Label[] = live.portals.map((p) => ({ at: p.skin, words: p.name, cls: p.name === chosen?.portal ? "portal chosen" : "portal" }));
    const site = live.sites.find((one) => one.name === chosen?.site);
    if (site) found.unshift({ at: site.point, words: site.name, cls: "site" });
    const curve = live.nerves.axillary.curve;
    found.push({ at: curve[Math.floor(curve.length * 0.55)]!, words: "axillary nerve, 9 in 10", cls: "nerve" });
    this.put(found);
  }

  put(found: readonly Label[]): void {
    this.names = found.map(({ at, words, cls }) => ({ at, element: html("span", { class: cls }, words), long: words.length * LETTER_PX + 12 }));
    this.root.replaceChildren(...this.names.map((one) => one.element));
  }

  place(camera: PerspectiveCamera, width: number, height: number): void {
    const taken: { x: number; y: number; long: number }[] = [];
    for (const { at, element, long } of this.names) {
      const spot = new Vector3(...at).project(camera);
      const [px, py] = [((spot.x + 1) * width) / 2, ((1 - spot.y) * height) / 2];
      const tried = WAYS.map(([side, down]) => ({ x: side > 0 ? px + 10 : px - long - 10, y: py - 9 + down * ROW_PX, long }));
      const meets = (one: { x: number; y: number }): number => taken.filter((t) => Math.abs(t.y - one.y) < ROW_PX && one.x < t.x + t.long && t.x < one.x + long).length + (one.x < 0 || one.x + long > width ? 2 : 0);
      const found = tried.find((one) => !meets(one)) ?? tried[0]!;
      taken.push(found);
      element.hidden = spot.z > 1 || px < 0 || px > width || py < 0 || py > height;
      element.style.transform = `translate(${found.x.toFixed(0)}px, ${found.y.toFixed(0)}px)`;
    }
  }
}
