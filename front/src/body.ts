// The repair in the body and over time: passive tension by arm position drawn, the rest said.
import { askable, refresh } from "./askable";
import { html, svg } from "./draw";
import { axisEnd } from "./numbers";
import type { ArmLoad, Body, Hold } from "./wire";

const ARMS = "body.arms";
const [WIDTH, ROW, LEFT, RIGHT, BOTTOM] = [372, 24, 132, 14, 30];

export function drawBody(holder: HTMLElement, hold: Hold): void {
  const body = hold.body;
  const head = html("h2", {}, "In the body and over time");
  if (!body) {
    refresh(holder, head, html("p", { class: "note" }, "Worked out once the answer has settled."));
    return;
  }
  const told = ([words, name]: [string, string]): HTMLElement => html("li", {}, words, name ? " " : null, name ? askable(name, "source") : null);
  const open = holder.querySelector("details")?.open ?? false;
  const resting = body.sentences.filter(([, name]) => name === ARMS);
  const others = body.sentences.filter(([, name]) => name !== ARMS);
  refresh(holder, head,
    html("p", { class: "note" }, `${body.tissue} tissue, ${body.bone} bone; planned, not done.`),
    ...(body.arms.length ? [tensions(body)] : []),
    ...(resting.length ? [html("details", { open }, html("summary", {}, "By arm position, in words"), html("ul", { class: "body-said" }, ...resting.map(told)))] : []),
    html("ul", { class: "body-said" }, ...others.map(told)));
}

function tensions(body: Body): SVGSVGElement {
  const torn = body.reduction?.torn_at ?? 0;
  const end = axisEnd(Math.max(torn, ...body.arms.map((arm) => arm.tension.high)));
  const x = (force: number): number => LEFT + ((WIDTH - LEFT - RIGHT) * force) / end;
  const bottom = body.arms.length * ROW + 18;
  const rows = body.arms.flatMap((arm, i) => {
    const y = 18 + i * ROW + ROW / 2;
    const { low, middle, high } = arm.tension;
    return [
      svg("text", { x: LEFT - 8, y: y + 4, "text-anchor": "end" }, posture(arm)),
      svg("path", { class: "range", d: `M${x(low)} ${y}H${x(high)}M${x(low)} ${y - 5}V${y + 5}M${x(high)} ${y - 5}V${y + 5}` }),
      svg("circle", { class: "middle-dot", cx: x(middle), cy: y, r: 4.5 }),
    ];
  });
  const limit = torn ? [
    svg("path", { class: "reference", d: `M${x(torn)} 14V${bottom}` }),
    svg("text", { x: x(torn), y: 11, "text-anchor": torn > end / 2 ? "end" : "middle" }, `${torn} N: re-tear cut-off`),
  ] : [];
  return svg("svg", { class: "plot", viewBox: `0 0 ${WIDTH} ${bottom + BOTTOM}`, width: WIDTH, height: bottom + BOTTOM, role: "img", "aria-label": "Passive tension at rest in N, by arm position; said in the list below" },
    svg("path", { class: "axis", d: `M${LEFT} ${bottom}H${WIDTH - RIGHT}` }), ...limit, ...rows,
    svg("text", { x: LEFT, y: bottom + 14, "text-anchor": "middle" }, "0"),
    svg("text", { x: WIDTH - RIGHT, y: bottom + 14, "text-anchor": "middle" }, String(end)),
    svg("text", { x: (LEFT + WIDTH - RIGHT) / 2, y: bottom + 26, "text-anchor": "middle" }, "passive tension, N"));
}

function posture(arm: ArmLoad): string {
  if (arm.abduction_degrees) return `abducted ${arm.abduction_degrees}°`;
  if (arm.rotation_degrees) return `${arm.rotation_degrees > 0 ? "outward" : "inward"} ${Math.abs(arm.rotation_degrees)}°`;
  return "arm at the side";
}
