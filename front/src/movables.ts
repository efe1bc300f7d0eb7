// Anchors and holes: what the hand can move, in the one colour kept for it, in anatomical order front to back.
import { svg } from "./draw";
import type { Hand } from "./hand";
import type { RepairMap } from "./map";
import { mm, percent } from "./numbers";
import type { Held } from "./snap";
import type { Layout, MemberLoad } from "./wire";

const TARGET_PX = 13;
const ANCHOR_PX = 11;
const HOLE_PX = 5.5;

interface Movable extends Held { u: number; v: number; row: string }

export class Movables {
  private readonly shown = new Map<string, SVGGElement>();

  constructor(private readonly map: RepairMap, private readonly hand: Hand) {}

  draw(layout: Layout): void {
    const wanted = order(layout);
    const keys = new Set(wanted.map(key));
    for (const [name, element] of this.shown) {
      if (keys.has(name)) continue;
      element.remove();
      this.shown.delete(name);
    }
    for (const one of wanted) this.put(one);
    if (!this.hand.busy) this.sort(wanted);
  }

  /** Ring what is picked and waits for its place. */
  pick(held: Held | null): void {
    for (const [name, element] of this.shown) element.classList.toggle("picked", held !== null && name === key(held));
  }

  /** Draw, around each hole and anchor, the share of draws in which it gives way first. */
  firstFailures(members: readonly MemberLoad[], on: boolean): void {
    for (const [name, element] of this.shown) {
      const [kind, bare] = name.split(" ");
      const member = members.find((m) => m.kind === kind && m.name === bare);
      const arc = element.querySelector(".first-share");
      arc?.setAttribute("d", on && member && member.first_share > 0 ? ring(member.first_share) : "");
      const words = element.querySelector("title");
      if (words) words.textContent = member ? `gives way first in ${percent(member.first_share)} of draws` : "";
    }
  }

  /** What has the focus on the map. */
  focused(): Held | null {
    for (const [name, element] of this.shown) {
      if (element !== document.activeElement) continue;
      const [kind = "", bare = ""] = name.split(" ");
      return { kind: kind === "anchor" ? "anchor" : "hole", name: bare };
    }
    return null;
  }

  focus(held: Held): void {
    this.shown.get(key(held))?.focus({ preventScroll: true });
  }

  private put(one: Movable): void {
    const element = this.shown.get(key(one)) ?? this.make(one);
    const [x, y] = this.map.at(one.u, one.v);
    element.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    element.setAttribute("aria-valuenow", one.u.toFixed(1));
    element.setAttribute("aria-valuetext", `${mm(one.u)} from the front, ${mm(one.v)} from the cartilage margin`);
    element.dataset["u"] = String(one.u);
    element.dataset["v"] = String(one.v);
  }

  private make(one: Movable): SVGGElement {
    const spoken = one.kind === "anchor" ? `Anchor ${one.name}, ${one.row} row` : `Hole of limb ${one.name}`;
    const body = one.kind === "anchor"
      ? [svg("circle", { class: "body", r: ANCHOR_PX }), svg("text", { class: "label", y: 4.5, "text-anchor": "middle", "aria-hidden": "true" }, one.name)]
      : [svg("circle", { class: "body", r: HOLE_PX })];
    const [u0, u1] = this.map.extent();
    const element = svg("g", {
      class: `movable ${one.kind}`, tabindex: 0, role: "slider", "aria-label": spoken,
      "aria-valuemin": u0.toFixed(0), "aria-valuemax": u1.toFixed(0), "data-name": one.name,
      "aria-describedby": "hand",
    },
    svg("title"),
    svg("circle", { class: "target", r: TARGET_PX }),
    svg("path", { class: "first-share" }),
    svg("circle", { class: "focus-ring", r: TARGET_PX + 3 }),
    ...body);
    this.hand.take(element, one);
    this.shown.set(key(one), element);
    this.map.layer.hand.append(element);
    return element;
  }

  private sort(wanted: readonly Movable[]): void {
    const elements = wanted.map((one) => this.shown.get(key(one))).filter((element) => element !== undefined);
    if (elements.every((element, i) => this.map.layer.hand.children[i] === element)) return;
    const focused = document.activeElement;
    this.map.layer.hand.replaceChildren(...elements);
    if (focused instanceof SVGElement && focused.isConnected) focused.focus({ preventScroll: true });
  }
}

function order(layout: Layout): Movable[] {
  const anchors = layout.anchors.map((a): Movable => ({ kind: "anchor", name: a.name, u: a.u, v: a.v, row: a.row }));
  const holes = layout.holes.map((h): Movable => ({ kind: "hole", name: h.name, u: h.u, v: h.v, row: "" }));
  return [...anchors, ...holes].sort((a, b) => a.u - b.u || a.v - b.v || a.name.localeCompare(b.name));
}

function key(held: Held): string {
  return `${held.kind} ${held.name}`;
}

function ring(share: number): string {
  const radius = TARGET_PX + 1;
  const turn = Math.min(0.9999, share) * 2 * Math.PI;
  const [x, y] = [radius * Math.sin(turn), -radius * Math.cos(turn)];
  return `M0 ${-radius}A${radius} ${radius} 0 ${turn > Math.PI ? 1 : 0} 1 ${x.toFixed(2)} ${y.toFixed(2)}`;
}
