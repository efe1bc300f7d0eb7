// The steps in a list, and the one that stands now in large letters.
import { html } from "./draw";
import { sample, shortened, threadOf } from "./rehearsethread";
import type { Field, Plan, State, Step } from "./rehearsewire";

const PHASES: Record<string, string> = { anchor: "Anchors", pass: "Passing", view: "View", tie: "Tying", lateral: "Lateral row", correct: "Correcting" };

export interface Made { words: string; mishap: boolean }

/** ``at`` steps of the plan are done; who chooses for themselves sees none ahead; ``go`` is asked for the point after so many. */
export function drawSteps(holder: HTMLElement, made: readonly Made[], plan: Plan | null, at: number, own: boolean, go: (at: number) => void): void {
  const behind = made.map((one) => html("li", { class: one.mishap ? "step mishap" : "step behind" }, html("span", { class: "step-words" }, one.words)));
  let phase = "";
  const ahead = (plan?.steps ?? []).slice(0, own ? at : undefined).flatMap((step, i) => {
    const head = step.phase === phase ? [] : [html("li", { class: "phase" }, PHASES[step.phase] ?? step.phase)];
    phase = step.phase;
    const button = html("button", { type: "button", class: "step-go", "aria-current": i + 1 === at ? "step" : null }, html("span", { class: "step-number" }, String(made.length + step.number)), html("span", { class: "step-words" }, step.words));
    button.addEventListener("click", () => go(i + 1));
    return [...head, html("li", { class: i < at ? "step behind" : "step" }, button)];
  });
  holder.replaceChildren(...behind, ...ahead);
  const here = holder.querySelector<HTMLElement>("[aria-current=step]");
  holder.scrollTop = !here ? 0 : Math.max(0, here.offsetTop - holder.clientHeight / 3);
}

/** What was done last, large, and what comes next. */
export function drawNow(holder: HTMLElement, field: Field, state: State, step: Step | null, next: Step | null, own: boolean, number: number, of: number, walk: (by: number) => void): void {
  const go = (words: string, label: string, by: number, off: boolean): HTMLElement => {
    const button = html("button", { type: "button", "aria-label": label, disabled: off }, words);
    button.addEventListener("click", () => walk(by));
    return button;
  };
  const threads = shortened(step?.move.limbs ?? []).map((name) => html("span", { class: "now-thread" }, html("b", {}, name), " ", sample(threadOf(field, name)), ` ${threadOf(field, name).words}`));
  holder.replaceChildren(
    html("div", { class: "now-ways", role: "group", "aria-label": "Walk through the steps" },
      go("◀", "Step back", -1, number === 0), go("▶", "Next step", 1, next === null || own), html("span", { class: "now-count" }, `${number} of ${of}`)),
    html("div", { class: "now-told" },
      html("p", { class: "now-words" }, step ? step.words : number ? "As it stands now." : "Before the first step."),
      html("p", { class: "now-more" }, ...threads,
        html("span", {}, `arthroscope ${state.scope}, ${state.compartment}`),
        step ? html("span", {}, `arm ${step.arm || "not known"}`) : null,
        step?.caution ? html("span", { class: "now-caution" }, step.caution) : null),
      coming(next, own)));
}

/** What the plan would do next; behind a fold for those who choose for themselves. */
function coming(next: Step | null, own: boolean): HTMLElement {
  if (!next) return html("p", { class: "now-next" }, "Nothing is left to do.");
  if (!own) return html("p", { class: "now-next" }, `Next: ${next.words}`);
  return html("details", { class: "now-next" }, html("summary", {}, "What the plan would do"), next.words);
}
