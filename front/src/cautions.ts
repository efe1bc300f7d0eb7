// Cautions stand beside what they limit: a triangle or an octagon, always with a word.
import { refresh } from "./askable";
import { html, svg } from "./draw";
import type { RepairMap } from "./map";
import type { Caution, Hold } from "./wire";

const WORDS: Record<Caution["severity"], string> = { note: "Note", caution: "Caution", stop: "Stop" };
const RANK: Record<Caution["severity"], number> = { stop: 0, caution: 1, note: 2 };

export function drawCautions(holder: HTMLElement, hold: Hold, labels: Record<string, string>, ask: (caution: Caution) => Node): void {
  const sorted = [...hold.cautions].sort((a, b) => RANK[a.severity] - RANK[b.severity]);
  refresh(holder, ...(sorted.length ? [html("h2", { class: "unseen" }, "Cautions")] : []),
    html("ul", { class: "cautions" },
      ...sorted.map((c) => told(c.severity, c.text, c.fact ? ask(c) : null)),
      hold.missing.length ? html("li", { class: "note" }, sign("note", 20), html("b", {}, "Not measured"), ` ${hold.missing.map((path) => labels[path] ?? path).join("; ")}.`) : null));
}

/** Between the anchors it concerns, on the map. */
export function drawCautionsOnMap(map: RepairMap, hold: Hold): void {
  const marks: SVGElement[] = [];
  for (const caution of hold.cautions.filter((one) => one.severity !== "note")) {
    const names = caution.where.split(",").map((name) => name.trim());
    const places = names.map((name) => hold.layout.anchors.find((a) => a.name === name) ?? hold.layout.holes.find((h) => h.name === name));
    if (!places.length || places.some((place) => !place)) continue;
    const spots = places.map((place) => map.at(place!.u, place!.v));
    const [x, y] = [0, 1].map((axis) => spots.reduce((sum, spot) => sum + spot[axis as 0 | 1], 0) / spots.length) as [number, number];
    const glyph = sign(caution.severity, 24);
    const g = svg("g", { transform: `translate(${x - 12} ${y - 40})` }, svg("title", {}, caution.text), glyph,
      svg("text", { x: 12, y: -4, "text-anchor": "middle" }, caution.text.match(/^[\d.]+ mm/)?.[0] ?? WORDS[caution.severity].toLowerCase()));
    if (spots.length === 2) marks.push(svg("path", { class: "between", d: `M${spots[0]![0]} ${spots[0]![1]}L${spots[1]![0]} ${spots[1]![1]}` }));
    marks.push(g);
  }
  map.layer.warnings.replaceChildren(...marks);
}

/** One caution in a list: sign, word, text, and where it comes from. */
export function told(severity: Caution["severity"], text: string, source: Node | null = null): HTMLElement {
  return html("li", { class: severity }, sign(severity, 20), html("b", {}, WORDS[severity]), ` ${text}`, source ? " " : null, source);
}

/** A triangle, an octagon or a ring; a word stands beside it. */
function sign(severity: Caution["severity"], size: number): SVGSVGElement {
  const shape = severity === "stop" ? "M7 1h10l6 6v10l-6 6H7l-6-6V7z" : severity === "caution" ? "M12 2 23 22H1z" : "M12 1a11 11 0 1 0 .01 0z";
  const mark = severity === "note" ? "M12 10v8m0-12v2" : severity === "stop" ? "M7 12h10" : "M12 9v6m0 2v2";
  return svg("svg", { class: `sign ${severity}`, viewBox: "0 0 24 24", width: size, height: size, "aria-hidden": "true" },
    svg("path", { class: "shape", d: shape }), svg("path", { class: "mark", d: mark }));
}
