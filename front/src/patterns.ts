// The patterns as miniatures of this very tear.
import { html, svg } from "./draw";
import { limbLook } from "./limbs";
import type { Chart, Layout, PatternShown } from "./wire";

const [WIDTH, HEIGHT] = [72, 56];

export function drawPatterns(
  holder: HTMLElement, shown: readonly PatternShown[], chart: Chart, chosen: string | null, edited: boolean, choose: (name: string) => void,
): void {
  const focused = document.activeElement instanceof HTMLElement ? document.activeElement.dataset["pattern"] : undefined;
  const made = shown.map((pattern) => {
    const button = html("button", {
      type: "button", "aria-pressed": pattern.name === chosen ? "true" : "false", disabled: pattern.layout === null, "data-pattern": pattern.name,
    }, pattern.layout ? miniature(pattern.layout, chart) : null, html("span", {}, pattern.title, pattern.name === chosen ? html("small", {}, edited ? "chosen, then changed by hand" : "chosen") : null, pattern.refused ? html("small", {}, pattern.refused) : null));
    button.addEventListener("click", () => choose(pattern.name));
    return html("li", {}, button);
  });
  const fits = (i: number): boolean => shown[i]!.layout !== null || shown[i]!.name === chosen;
  const others = made.filter((_, i) => !fits(i));
  const open = holder.querySelector("details")?.open ?? false;
  holder.replaceChildren(...made.filter((_, i) => fits(i)));
  if (others.length) holder.append(html("li", {}, html("details", { open }, html("summary", {}, `${others.length} not for this tear, and why`), html("ul", { class: "patterns" }, ...others))));
  if (focused) holder.querySelector<HTMLElement>(`[data-pattern="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
}

export function miniature(layout: Layout, chart: Chart): SVGElement {
  const { strip } = chart;
  const [low, high] = [strip.front - 2, strip.front + strip.width + 2];
  const [top, bottom] = [-4, Math.max(strip.edge + 3, ...layout.anchors.map((a) => a.v + 3))];
  const scale = Math.min(WIDTH / (high - low), HEIGHT / (bottom - top));
  const x = (u: number): number => WIDTH / 2 + chart.rightwards * (u - (low + high) / 2) * scale;
  const y = (v: number): number => (v - top) * scale;
  const limbs = layout.holes.flatMap((hole, i) => layout.stitches.filter((s) => s.holes.includes(hole.name)).map((stitch) => {
    const end = layout.anchors.find((a) => a.name === (stitch.to ?? stitch.anchor));
    const pair = stitch.to === null ? layout.holes.find((h) => h.name !== hole.name && stitch.holes.includes(h.name)) : undefined;
    const to = pair ?? (stitch.kind === "simple" ? { u: hole.u, v: strip.edge } : end) ?? hole;
    return svg("path", { d: `M${x(hole.u)} ${y(hole.v)}L${x(to.u)} ${y(to.v)}`, stroke: limbLook(i).hue });
  }));
  return svg("svg", { class: "miniature", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, width: WIDTH, height: HEIGHT, "aria-hidden": "true" },
    svg("path", { class: "mini-edge", d: `M2 ${y(strip.edge)}H${WIDTH - 2}` }),
    svg("path", { class: "mini-margin", d: `M2 ${y(0)}H${WIDTH - 2}` }),
    svg("g", { class: "mini-limbs" }, ...limbs),
    ...layout.anchors.map((a) => svg("circle", { class: "mini-anchor", cx: x(a.u), cy: y(a.v), r: 4 })));
}
