// Portals as bays with the limbs that lie in them after the present step, each limb by name, hue and pattern.
import { html, place, svg } from "./draw";
import { limbLook } from "./limbs";
import type { Operation, Step } from "./theatrewire";

const LIGHT = ["#56B4E9", "#E69F00", "#4FD0A5", "#E79AC4", "#A7A0F5", "#F0E442", "#9AD7F5", "#E08AA8"];
const DASHES: Record<string, string> = { "solid": "", "long-dash": "14 5", "dot": "0 7", "beaded": "0 11" };

export function showBays(operation: Operation, step: Step): void {
  const planned = operation.steps.some((one) => one.parked.length > 0);
  const none = planned ? "no limb" : "limbs not planned";
  const names = Object.keys(operation.limbs);
  const parked = new Map(step.parked);
  const portals = [...new Set([...operation.portals, ...parked.keys()])];
  place("bays").replaceChildren(...portals.map((portal) => {
    const limbs = parked.get(portal) ?? [];
    const scope = step.scope === portal ? html("span", { class: "scope" }, "arthroscope here") : null;
    const here = step.portals.includes(portal);
    const told = limbs.length ? limbs.map((limb) => limbMark(limb, names.indexOf(limb))) : [html("span", { class: "soft" }, none)];
    return html("div", { class: here ? "bay here" : "bay" }, html("h4", {}, portal), scope, ...told);
  }));
}

export function limbMark(limb: string, at: number): HTMLElement {
  const { pattern } = limbLook(Math.max(at, 0));
  const hue = LIGHT[Math.max(at, 0) % LIGHT.length]!;
  const line = svg("line", {
    x1: 3, y1: 8, x2: 51, y2: 8, stroke: hue, "stroke-width": pattern === "beaded" ? 8 : 5,
    "stroke-linecap": pattern === "solid" ? "butt" : "round", "stroke-dasharray": DASHES[pattern] || null,
  });
  return html("span", { class: "limb" }, svg("svg", { width: 54, height: 16, "aria-hidden": "true" }, line), limb);
}
