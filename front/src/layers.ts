// Layers of the map, each with a key.
import { html } from "./draw";

export interface Layer { key: string; name: string; words: string; on: boolean }

export const LAYERS: readonly Layer[] = [
  { key: "p", name: "pressure", words: "pressure", on: true },
  { key: "l", name: "loads", words: "loads", on: true },
  { key: "g", name: "gap", words: "gap under load", on: false },
  { key: "r", name: "reach", words: "reach", on: false },
  { key: "t", name: "names", words: "bone names", on: true },
  { key: "n", name: "graticule", words: "5 mm net", on: true },
];

export class Layers {
  private readonly on = new Map(LAYERS.map((layer) => [layer.name, layer.on]));
  private readonly boxes = new Map<string, HTMLInputElement>();

  constructor(holder: HTMLElement, private readonly changed: () => void) {
    holder.replaceChildren(...LAYERS.map((layer) => {
      const box = html("input", { type: "checkbox", checked: layer.on, "aria-keyshortcuts": layer.key });
      box.addEventListener("change", () => this.set(layer.name, box.checked));
      this.boxes.set(layer.name, box);
      return html("label", {}, box, html("span", {}, layer.words), html("kbd", {}, layer.key));
    }));
  }

  shown(name: string): boolean {
    return this.on.get(name) ?? false;
  }

  /** Switch the layer of a key; false when the key has none. */
  press(key: string): boolean {
    const layer = LAYERS.find((one) => one.key === key);
    if (!layer) return false;
    this.set(layer.name, !this.shown(layer.name));
    return true;
  }

  private set(name: string, on: boolean): void {
    this.on.set(name, on);
    const box = this.boxes.get(name);
    if (box) box.checked = on;
    this.changed();
  }
}
