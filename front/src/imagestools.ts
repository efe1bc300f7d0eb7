// The tools under the stack: what a drag does, the window in numbers, zoom, invert, cross-lines.
import { html } from "./draw";
import { KEYS, type Tool, type Viewer } from "./imagesviewer";
import type { WindowFunction } from "./imageswindow";

const TOOLS: [Tool, string][] = [["window", "Window"], ["move", "Move"], ["zoom", "Zoom"]];
const WAYS: [WindowFunction, string][] = [["LINEAR", "linear"], ["LINEAR_EXACT", "linear, exact"], ["SIGMOID", "smooth"]];

export class Tools {
  private readonly centre = html("input", { type: "number", step: "any", id: "window-centre" });
  private readonly width = html("input", { type: "number", step: "any", min: 1, id: "window-width" });
  private readonly way = html("select", { id: "window-function" }, ...WAYS.map(([value, words]) => html("option", { value }, words)));
  private readonly invert = this.button("Invert", () => this.viewer.set({ invert: !this.viewer.invert }));
  private readonly lines = this.button("Cross-lines", () => this.crossed());
  private readonly zoom = html("output", { class: "zoom", "aria-label": "zoom" });

  constructor(holder: HTMLElement, private readonly viewer: Viewer, private readonly crossed: () => void) {
    const drags = TOOLS.map(([tool, words]) => {
      const input = html("input", { type: "radio", name: "tool", value: tool, checked: tool === "window" });
      input.addEventListener("change", () => viewer.set({ tool }));
      return html("label", {}, input, words);
    });
    [this.centre, this.width, this.way].forEach((input) => input.addEventListener("change", () => this.typed()));
    holder.replaceChildren(
      html("div", { class: "tools" },
        html("fieldset", { class: "tool-choice" }, html("legend", {}, "A drag"), ...drags),
        html("div", { class: "tool-row" },
          html("label", { for: "window-centre" }, "Centre"), this.centre, html("label", { for: "window-width" }, "Width"), this.width,
          html("label", { for: "window-function", class: "unseen" }, "Function of the window"), this.way,
          this.button("As stored", () => viewer.asStored())),
        html("div", { class: "tool-row" },
          this.button("Zoom in", () => viewer.magnify(1.25), "+"), this.button("Zoom out", () => viewer.magnify(0.8), "−"),
          this.button("Fit", () => viewer.fit()), this.zoom, this.invert, this.lines)),
      html("details", { class: "stack-keys" }, html("summary", {}, "Keys"), html("p", { id: "stack-keys", class: "note" }, KEYS)));
  }

  draw(crossed: boolean): void {
    const { window, invert } = this.viewer;
    if (window) {
      if (document.activeElement !== this.centre) this.centre.value = shortly(window.centre);
      if (document.activeElement !== this.width) this.width.value = shortly(window.width);
      this.way.value = window.function;
    }
    this.zoom.textContent = `${this.viewer.percent} %`;
    this.invert.setAttribute("aria-pressed", String(invert));
    this.lines.setAttribute("aria-pressed", String(crossed));
  }

  private typed(): void {
    const [centre, width] = [Number(this.centre.value), Number(this.width.value)];
    if (Number.isFinite(centre) && width >= 1) this.viewer.set({ window: { centre, width, function: this.way.value as WindowFunction } });
  }

  private button(words: string, deed: () => void, sign?: string): HTMLButtonElement {
    const made = html("button", { type: "button", class: "small-button", "aria-label": sign ? words : null }, sign ?? words);
    made.addEventListener("click", deed);
    return made;
  }
}

function shortly(value: number): string {
  return String(Number(value.toPrecision(4)));
}
