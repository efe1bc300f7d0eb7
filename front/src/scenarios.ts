// Good, fair and poor side by side: what only theatre can tell is never assumed.
import { askable, refresh } from "./askable";
import { html } from "./draw";
import { drawInterval } from "./interval";
import { axisEnd, change, spread } from "./numbers";
import type { Grade, Hold } from "./wire";

export function drawScenarios(
  holder: HTMLElement, hold: Hold, ghost: Hold | null, chosen: Grade, choose: (tissue: Grade) => void,
): void {
  const end = axisEnd(Math.max(...hold.scenarios.map((s) => s.ultimate.high), ...(ghost?.scenarios ?? []).map((s) => s.ultimate.high)));
  const rows = hold.scenarios.map((scenario) => {
    const before = ghost?.scenarios.find((s) => s.tissue === scenario.tissue && s.bone === scenario.bone) ?? null;
    const moved = before && !scenario.settled ? html("span", { class: "change" }, change(scenario.ultimate, before.ultimate)) : null;
    const contested = scenario.ultimate_contested === null ? null
      : html("span", { class: "contested" }, "with the contested bridging factor ", askable(`ultimate.${scenario.tissue}`, `${scenario.ultimate_contested} N`));
    const pick = html("input", { type: "radio", name: "scenario", value: scenario.tissue, checked: scenario.tissue === chosen, "data-ask": `choose-${scenario.tissue}` });
    pick.addEventListener("change", () => choose(scenario.tissue));
    return html("li", { class: `scenario ${scenario.tissue}` },
      html("label", {}, pick, html("span", {}, `${scenario.tissue} tissue, ${scenario.bone} bone`)),
      drawInterval({ end, width: 372, height: 26 }, scenario.ultimate, before?.ultimate ?? null, scenario.settled),
      html("span", { class: "numbers" },
        askable(`ultimate.${scenario.tissue}`, `${scenario.settled ? "" : "about "}${scenario.ultimate.middle} ${scenario.ultimate.unit}`),
        ` (${spread(scenario.ultimate)})`, moved ? " " : null, moved),
      html("span", { class: "weakest" }, "weakest at ", askable(`weakest.${scenario.tissue}`, scenario.weakest)),
      contested);
  });
  const axis = html("p", { class: "axis-words" }, html("span", {}, "0"), html("span", {}, "ultimate load, N"), html("span", {}, String(end)));
  const many = hold.scenarios.length > 1;
  refresh(holder,
    html("h2", {}, "Holds, time zero, laboratory"),
    ...(many ? [html("p", { class: "note" }, "Tissue and bone are felt only in theatre. The chosen one is listed below and drawn on the map.")] : []),
    html("ul", { class: "scenarios" }, ...rows), axis);
}
