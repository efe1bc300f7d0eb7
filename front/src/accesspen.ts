// For the marking pen: distances in cm from bony landmarks; each can be set here, with its own error.
import type { LeverName, Portal, PortalPlace } from "./accesswire";
import { told } from "./cautions";
import { html } from "./draw";

export class Pen {
  private shown = "";

  constructor(private readonly holder: HTMLElement, private readonly move: (place: PortalPlace) => void) {}

  draw(portals: Portal[], caution: string): void {
    const shown = JSON.stringify([portals.map((p) => [p.place, p.marking]), caution]);
    if (shown === this.shown) return;
    this.shown = shown;
    const focused = document.activeElement instanceof HTMLElement ? document.activeElement.dataset["pen"] : undefined;
    this.holder.replaceChildren(
      html("h2", { id: "pen-head" }, "For the marking pen"),
      html("ul", { class: "cautions" }, told("caution", caution)),
      html("ol", { class: "pen-list" }, ...portals.map((portal) => this.item(portal))));
    if (focused) this.holder.querySelector<HTMLElement>(`[data-pen="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
  }

  private item(portal: Portal): HTMLElement {
    const lines = portal.marking.map((line, i) => {
      const id = `pen-${portal.name.replaceAll(" ", "-")}-${i}`;
      if (!line.sets) return html("p", { class: "pen-line" }, html("b", { class: "pen-cm" }, `${line.cm.toFixed(1)} cm`), html("span", {}, line.words));
      const input = html("input", { id, type: "number", step: 0.1, value: line.cm.toFixed(1), "data-pen": id });
      const sets = line.sets;
      input.addEventListener("change", () => this.set(portal, sets, Number(input.value) * line.per_cm));
      return html("p", { class: "pen-line" }, input, html("label", { for: id }, `cm ${line.words}`));
    });
    const id = `pen-error-${portal.name.replaceAll(" ", "-")}`;
    const error = html("input", { id, type: "number", min: 0, max: 30, step: 0.5, value: portal.place.error, "data-pen": id });
    error.addEventListener("change", () => this.move({ ...portal.place, error: Math.max(0, Number(error.value)) }));
    const back = html("button", { type: "button" }, "Back to the usual place");
    back.addEventListener("click", () => this.move(portal.default));
    return html("li", {},
      html("h3", {}, portal.name),
      html("p", { class: portal.confirm === "confirm by needle" ? "needle" : "first" }, portal.confirm),
      ...lines,
      html("p", { class: "pen-line" }, error, html("label", { for: id }, "mm SD of the stab")),
      portal.own ? html("p", { class: "note" }, "Set by the surgeon. ", back) : portal.verified ? null : html("p", { class: "unverified-words" }, "A distance here is from memory: unverified, kept off patient sheets."));
  }

  private set(portal: Portal, name: LeverName, value: number): void {
    if (!Number.isFinite(value)) return;
    this.move({ ...portal.place, [name]: name === "along" ? Math.min(1, Math.max(0, value)) : value });
  }
}
