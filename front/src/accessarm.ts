// The arm: how the patient lies, three dials and the traction; moves are followed at once and kept when they rest.
import { Dial } from "./accessdial";
import type { AccessBoard, Lie, Pose } from "./accesswire";
import { html, svg } from "./draw";

const REST_MS = 450;
const FLEXION: [number, number] = [-20, 90];
const TRACTION_MOST_KG = 12;

export class Arm {
  private pose: Pose;
  private timer = 0;
  private readonly dials: Record<"abduction_degrees" | "rotation_degrees" | "flexion_degrees", Dial>;
  private readonly pull: HTMLInputElement;
  private readonly pulled: HTMLElement;
  private readonly lies = new Map<Lie, HTMLInputElement>();
  private readonly trunk = html("p", { class: "note" });

  constructor(
    holder: HTMLElement, board: AccessBoard, pose: Pose,
    private readonly turning: (pose: Pose) => void, private readonly rested: (pose: Pose) => void,
  ) {
    this.pose = pose;
    const way = board.side === "right" ? 1 : -1;
    const turned = (name: keyof Arm["dials"]) => (value: number, done: boolean): void => this.turn({ [name]: value }, done);
    this.dials = {
      abduction_degrees: new Dial({
        name: "Abduction", seen: "from the front", least: 0, most: board.range.abduction, zero: 0, sense: way > 0 ? 1 : -1,
        pivot: [way > 0 ? 58 : 52, 32], reach: 50, figure: trunk(way), words: (v) => `${v}°`,
      }, turned("abduction_degrees")),
      rotation_degrees: new Dial({
        name: "Rotation", seen: "from above", least: -board.range.rotation, most: board.range.rotation, zero: 180, sense: way > 0 ? 1 : -1,
        pivot: [way > 0 ? 62 : 48, 78], reach: 46, figure: above(way), words: (v) => (v === 0 ? "neutral" : `${Math.abs(v)}° ${v > 0 ? "outer" : "inner"}`),
      }, turned("rotation_degrees")),
      flexion_degrees: new Dial({
        name: "Flexion", seen: "from the side", least: FLEXION[0], most: FLEXION[1], zero: 0, sense: way > 0 ? -1 : 1,
        pivot: [way > 0 ? 44 : 66, 30], reach: 48, figure: beside(way), words: (v) => `${v}°`,
      }, turned("flexion_degrees")),
    };
    this.pull = html("input", { type: "range", id: "traction", min: 0, max: TRACTION_MOST_KG, step: 0.5 });
    this.pulled = html("output", { for: "traction" });
    this.pull.addEventListener("input", () => this.turn({ traction_kg: Number(this.pull.value) }, false));
    holder.replaceChildren(this.lying(board), this.dials.abduction_degrees.root,
      html("div", { class: "dial-pair" }, this.dials.rotation_degrees.root, this.dials.flexion_degrees.root),
      html("p", { class: "traction" }, html("label", { for: "traction" }, "Traction "), this.pulled, this.pull), this.trunk,
      html("p", { class: "note" }, "Drag a hand, or Tab to a dial and use the arrows: 5°, Shift 15°."));
    this.show(pose);
  }

  show(pose: Pose): void {
    this.pose = pose;
    for (const name of ["abduction_degrees", "rotation_degrees", "flexion_degrees"] as const) this.dials[name].show(pose[name]);
    this.pull.value = String(pose.traction_kg);
    this.pulled.textContent = `${pose.traction_kg} kg`;
    for (const [lie, input] of this.lies) input.checked = lie === pose.place;
  }

  /** The caution that limits the abduction, beside it. */
  caution(words: string): void {
    this.trunk.textContent = words;
  }

  /** The arm is put here as by hand, and stays. */
  put(pose: Pose): void {
    this.turn(pose, true);
  }

  private lying(board: AccessBoard): HTMLElement {
    const labels = (["beach chair", "lateral decubitus"] as const).map((lie) => {
      const input = html("input", { type: "radio", name: "lie", value: lie });
      input.addEventListener("change", () => { if (input.checked) this.turn(board.usual[lie], false); });
      this.lies.set(lie, input);
      return html("label", {}, input, ` ${lie[0]!.toUpperCase()}${lie.slice(1)}`);
    });
    return html("fieldset", { class: "lies" }, html("legend", { class: "unseen" }, "How the patient lies"), ...labels);
  }

  private turn(change: Partial<Pose>, done: boolean): void {
    window.clearTimeout(this.timer);
    this.show({ ...this.pose, ...change });
    this.turning(this.pose);
    if (done) this.rested(this.pose);
    else this.timer = window.setTimeout(() => this.rested(this.pose), REST_MS);
  }
}

/** A trunk with head seen from in front; the arm hangs at its picture left for a right shoulder. */
function trunk(way: number): SVGElement[] {
  const x = way > 0 ? 82 : 28;
  return [
    svg("circle", { class: "figure", cx: x, cy: 13, r: 10 }),
    svg("path", { class: "figure", d: `M${x - 26} 30Q${x} 20 ${x + 26} 30L${x + 17} 98H${x - 17}Z` }),
  ];
}

/** Head and shoulders from above, the face towards the top. */
function above(way: number): SVGElement[] {
  const x = way > 0 ? 34 : 76;
  return [
    svg("ellipse", { class: "figure", cx: x, cy: 80, rx: 32, ry: 13 }),
    svg("path", { class: "figure", d: `M${x - 10} 78a10 12 0 1 1 20 0a10 10 0 1 1 -20 0M${x - 3} 66l3 -5l3 5` }),
  ];
}

/** Trunk and head from the side; the nose points forwards. */
function beside(way: number): SVGElement[] {
  const x = way > 0 ? 42 : 68;
  return [
    svg("path", { class: "figure", d: `M${x - 13} 24Q${x} 16 ${x + 13} 24L${x + 11} 98H${x - 11}Z` }),
    svg("path", { class: "figure", d: `M${x - 9} 11a9 9 0 1 1 18 0a9 9 0 1 1 -18 0M${x + way * 8} 7l${way * 5} 4l${-way * 5} 3` }),
  ];
}

/** A small drawing of an arm position: abduction from the front, rotation from above. */
export function armGlyph(pose: Pose, side: "right" | "left"): SVGSVGElement {
  const way = side === "right" ? 1 : -1;
  const a = (pose.abduction_degrees * Math.PI) / 180;
  const r = (pose.rotation_degrees * Math.PI) / 180;
  const [x, y] = [28, 10];
  const far = [x - way * 26 * Math.sin(a), y + 26 * Math.cos(a)];
  const [ex, ey] = [72, 34];
  return svg("svg", { class: "arm-glyph", viewBox: "0 0 100 44", width: 82, height: 36, "aria-hidden": "true" },
    svg("path", { class: "figure", d: `M${x + way * 4} 6h${way * 14}v34h${-way * 11}z` }),
    svg("path", { class: "dial-arm", d: `M${x} ${y}L${far[0]!.toFixed(1)} ${far[1]!.toFixed(1)}` }),
    svg("ellipse", { class: "figure", cx: ex - way * 16, cy: ey, rx: 16, ry: 6 }),
    svg("path", { class: "dial-arm", d: `M${ex} ${ey}L${(ex + way * 26 * Math.sin(r)).toFixed(1)} ${(ey - 26 * Math.cos(r)).toFixed(1)}` }));
}
