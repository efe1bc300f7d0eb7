// The picture of where to click: the view's own sketch with the marks on it, the one to set now emphasised.
import { html, svg } from "./draw";
import type { GuideSaid, ImagesBoard, MarkSaid } from "./imageswire";

const SIZE = 220;

export function drawing(board: ImagesBoard, guide: GuideSaid, now: MarkSaid | null): SVGSVGElement {
  const lines = Object.values(board.drawings[guide.view] ?? {});
  const at = ([x, y]: readonly [number, number]): string => `${(x * SIZE).toFixed(1)} ${(y * SIZE).toFixed(1)}`;
  const paths = lines.map((line) => svg("path", { class: "sketch", d: `M${line.map(at).join("L")}` }));
  const marks = guide.marks.map((mark, i) => {
    const [x, y] = [mark.place[0] * SIZE, mark.place[1] * SIZE];
    const side = x > SIZE * 0.7 ? -1 : 1;
    return svg("g", { class: `spot ${mark === now ? "now" : ""}` },
      mark.corners > 1 ? svg("circle", { cx: x, cy: y, r: 13, class: "ring" }) : null,
      svg("circle", { cx: x, cy: y, r: mark === now ? 7 : 4.5 }),
      svg("text", { x: x + side * 11, y: y + 5, "text-anchor": side < 0 ? "end" : "start" }, String(i + 1)));
  });
  return svg("svg", { class: "where-picture", viewBox: `0 0 ${SIZE} ${SIZE}`, width: SIZE, height: SIZE, role: "img", "aria-label": `Sketch of where to mark ${guide.title.toLowerCase()}; the places are told in the list` }, ...paths, ...marks);
}

/** The marks as a list: what is set, what comes now. */
export function steps(guide: GuideSaid, set: (mark: MarkSaid) => string, now: MarkSaid | null): HTMLElement {
  return html("ol", { class: "steps" }, ...guide.marks.map((mark) => html("li", { class: mark === now ? "now" : "", "aria-current": mark === now ? "step" : null },
    html("b", {}, mark.name.replaceAll("_", " ")), mark.optional ? " (may be left out)" : "", `: ${mark.words}. `, html("span", { class: "set" }, set(mark)))));
}
