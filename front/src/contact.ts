// Contact of tendon and bone: how much of the footprint lies above each pressure, not one number alone.
import { askable, refresh } from "./askable";
import { html, svg, way } from "./draw";
import { axisEnd, percent } from "./numbers";
import type { Contact, Hold } from "./wire";

const [WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM] = [372, 170, 44, 40, 10, 30];

export function drawContact(holder: HTMLElement, hold: Hold): void {
  const loaded = hold.contact_loaded;
  const end = axisEnd(Math.max(hold.contact.peak, loaded?.peak ?? 0, hold.contact.threshold));
  const x = (pressure: number): number => LEFT + ((WIDTH - LEFT - RIGHT) * Math.min(pressure, end)) / end;
  const y = (share: number): number => HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * share;
  const curve = (contact: Contact, cls: string, name: string): SVGElement[] => {
    const points = contact.thresholds.map((t, i) => [x(t), y(contact.area_shares[i] ?? 0)] as const);
    const half = points.reduce<readonly [number, number] | undefined>((best, p) => (!best || Math.abs(p[1] - y(0.5)) < Math.abs(best[1] - y(0.5)) ? p : best), undefined);
    const before = cls.includes("chosen");
    const words = half && svg("text", { class: "curve-name", x: half[0] + (before ? -8 : 8), y: half[1] + (before ? 12 : -4), "text-anchor": before ? "end" : "start" }, name);
    return [svg("path", { class: cls, d: way(points) }), ...(words ? [words] : [])];
  };
  const { contact } = hold;
  const at = contact.threshold;
  const doubt = contact.area_interval;
  const ends = doubt ? ` (${percent(doubt.low)} to ${percent(doubt.high)})` : "";
  refresh(holder, html("h2", {}, "Contact on the torn footprint"),
    svg("svg", { class: "plot", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, width: WIDTH, height: HEIGHT, role: "img", "aria-label": "Share of the footprint above each pressure" },
      svg("path", { class: "axis", d: `M${LEFT} ${TOP}V${HEIGHT - BOTTOM}H${WIDTH - RIGHT}` }),
      svg("path", { class: "reference threshold", d: `M${x(at)} ${TOP}V${HEIGHT - BOTTOM}` }),
      ...(loaded ? curve(loaded, "curve loaded", "loaded") : []),
      ...curve(contact, "curve chosen", "as tied"),
      ...(doubt ? [svg("path", { class: "axis", d: `M${x(at)} ${y(doubt.low)}V${y(doubt.high)}`, "stroke-width": 3 })] : []),
      svg("circle", { class: "middle-dot", cx: x(at), cy: y(contact.area_share), r: 4 }),
      svg("text", { x: LEFT - 6, y: TOP + 8, "text-anchor": "end" }, "100 %"),
      svg("text", { x: LEFT - 6, y: HEIGHT - BOTTOM, "text-anchor": "end" }, "0"),
      svg("text", { x: x(at), y: HEIGHT - 15, "text-anchor": "middle", class: "threshold" }, String(at)),
      svg("text", { x: WIDTH - RIGHT, y: HEIGHT - 15, "text-anchor": "middle" }, String(Number(end.toPrecision(2)))),
      svg("text", { x: (LEFT + WIDTH - RIGHT) / 2, y: HEIGHT - 2, "text-anchor": "middle" }, "pressure, MPa")),
    html("p", {}, "As tied: ", askable("contact.area", `${percent(contact.area_share)}${ends} above ${at} MPa`), ", force ",
      askable("contact.force", `${contact.force} N`), ", mean ", askable("contact.mean", `${contact.mean} MPa`), ", peak ",
      askable("contact.peak", `${contact.peak} MPa`), `. Lifts off over ${percent(contact.lifted_share)}.`));
}
