// The usual order of work beside the plan: counts of both, why they differ, and the usual moves one by one.
import { html } from "./draw";
import type { Usual } from "./rehearsewire";

/** ``open`` keeps the fold as it was. */
export function drawUsual(holder: HTMLElement, usual: Usual, open: boolean): void {
  const fold = html("details", { class: "usual", open }, html("summary", {}, html("h2", {}, "Beside the usual order")));
  if (usual.not_computed) {
    fold.append(html("p", {}, `${usual.not_computed.charAt(0).toUpperCase()}${usual.not_computed.slice(1)}.`));
    holder.replaceChildren(fold);
    return;
  }
  fold.append(
    html("p", {}, "As commonly done: all anchors, limbs grouped in front, each brought, passed and parked, pairs tied, limbs of lateral anchors fetched singly."),
    counts(usual),
    html("h3", {}, "Why they differ"),
    html("ul", { class: "plain" }, ...usual.differences.map(([what, often, planned, reason]) => html("li", {}, html("b", {}, `${what}: ${often} usually, ${planned} here`), `; ${reason}.`))),
    html("details", {}, html("summary", {}, `The usual order, ${usual.steps.length} moves`), html("ol", { class: "usual-steps" }, ...usual.steps.map((words) => html("li", {}, words)))));
  holder.replaceChildren(fold);
}

function counts(usual: Usual): HTMLElement {
  const head = html("tr", {}, html("th", { scope: "col" }, "Counted"), html("th", { scope: "col" }, "Usual"), html("th", { scope: "col" }, "Here"));
  const rows = usual.counts.map(([words, often, planned]) => html("tr", {}, html("th", { scope: "row" }, words), html("td", {}, String(often)), html("td", {}, String(planned))));
  return html("table", { class: "usual-counts" }, html("thead", {}, head), html("tbody", {}, ...rows));
}
