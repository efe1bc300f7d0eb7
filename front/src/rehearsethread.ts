// Threads as drawn: hue and pattern as the implants opened have them; a look nobody knows is drawn plain, with its name.
import { svg } from "./draw";
import type { Field, Thread } from "./rehearsewire";

const PLAIN = "#56606b";
export const UNKNOWN = "look not known";

export function threadOf(field: Field, limb: string): Thread {
  const name = field.limbs.find((one) => one.name === limb)?.suture ?? limb;
  return field.sutures.find((one) => one.name === name)?.thread ?? { words: UNKNOWN, hue: "", dark: "", pattern: "" };
}

/** A line in a thread's look on a casing of the ground; ``cls`` says how strong it is drawn. */
export function strand(d: string, thread: Thread, cls: string): SVGElement {
  if (!thread.hue) return svg("g", { class: `strand unknown ${cls}` }, svg("path", { class: "casing", d }), svg("path", { class: "plain", d, stroke: PLAIN }));
  return svg("g", { class: `strand ${thread.pattern} ${cls}` },
    svg("path", { class: "casing", d }),
    svg("path", { class: "edge", d }),
    svg("path", { class: "hue", d, stroke: thread.hue }),
    thread.pattern === "tracer" ? svg("path", { class: "core", d, stroke: light(thread.hue) ? "#000" : "#fff" }) : null);
}

/** A short piece of the thread, to stand before its name. */
export function sample(thread: Thread): SVGElement | null {
  if (!thread.hue) return null;
  return svg("svg", { class: "thread-sample", viewBox: "0 0 26 10", width: 26, height: 10, "aria-hidden": "true" }, strand("M1 5H25", thread, "short"));
}

export function hueOf(thread: Thread): number {
  return Number.parseInt((thread.hue || PLAIN).slice(1), 16);
}

function light(hue: string): boolean {
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(hue.slice(i, i + 2), 16)) as [number, number, number];
  return 0.299 * r + 0.587 * g + 0.114 * b > 125;
}

/** Limb names as short as they can be said: both limbs of a suture by its name. */
export function shortened(limbs: readonly string[]): string[] {
  const mate = (limb: string): string => limb.slice(0, -1) + (limb.endsWith("F") ? "B" : "F");
  return [...new Set(limbs.map((limb) => (limbs.includes(mate(limb)) ? limb.slice(0, -1) : limb)))];
}
