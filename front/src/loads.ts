// What each limb, hole and anchor carries, what it can bear, and how often it gives way first.
import { askable, refresh } from "./askable";
import { html, svg } from "./draw";
import { drawInterval } from "./interval";
import { lookOf, stroke } from "./limbs";
import { axisEnd, percent } from "./numbers";
import type { Hold, Layout, MemberLoad, Scenario } from "./wire";

const KINDS: [MemberLoad["kind"], string][] = [["limb", "Limbs"], ["hole", "Holes in the tendon"], ["anchor", "Anchors in bone"]];

export function drawLoads(holder: HTMLElement, hold: Hold, scenario: Scenario, ghost: Scenario | null): void {
  const opened = holder.querySelector("details")?.open ?? true;
  const tables = KINDS.map(([kind, title]) => {
    const members = scenario.members.filter((m) => m.kind === kind);
    const end = axisEnd(Math.max(1, ...members.map((m) => Math.max(m.loaded?.high ?? 0, m.tied, m.capacity))));
    const rows = members.map((m) => row(m, hold.layout, ghost?.members.find((g) => g.kind === m.kind && g.name === m.name) ?? null, end, scenario.settled));
    return members.length ? html("tbody", {}, html("tr", { class: "kind" }, html("th", { scope: "rowgroup", colspan: 4 }, title)), ...rows) : null;
  });
  refresh(holder, html("details", { open: opened },
    html("summary", {}, html("h2", {}, `Loads, ${scenario.tissue} tissue`)),
    html("table", { class: "loads" },
      html("thead", {}, html("tr", {}, ...["", "as tied, N", "loaded, N; bar = bears", "first to give"].map((text) => html("th", { scope: "col" }, text || html("span", { class: "unseen" }, "name"))))),
      ...tables)));
}

function row(member: MemberLoad, layout: Layout, ghost: MemberLoad | null, end: number, settled: boolean): HTMLElement {
  const look = member.kind === "anchor" ? null : lookOf(layout, member.name.split(/[->]/)[0] ?? "");
  const sample = look ? svg("svg", { class: "sample", width: 34, height: 10, viewBox: "0 0 34 10", "aria-hidden": "true" }, stroke("M1 5H33", look)) : null;
  const drawn = drawInterval({ end, width: 108, height: 20 }, member.loaded, ghost?.loaded ?? null, settled);
  const bears = 4 + (100 * Math.min(member.capacity, end)) / end;
  drawn.append(svg("path", { class: "bears", d: `M${bears} 3V17` }));
  const words = member.loaded ? `${member.loaded.middle} (${member.loaded.low} to ${member.loaded.high}) of ${member.capacity}` : `not reached; bears ${member.capacity}`;
  return html("tr", {},
    html("th", { scope: "row" }, sample, askable(`member.${member.kind}.${member.name}`, member.name)),
    html("td", { class: "number" }, String(member.tied)),
    html("td", {}, drawn, html("span", { class: "small" }, words)),
    html("td", { class: "number" }, percent(member.first_share)));
}
