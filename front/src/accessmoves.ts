// Arm positions in working order, better places for portals, and beds that meet.
import { armGlyph } from "./accessarm";
import { askable, refresh } from "./askable";
import { told } from "./cautions";
import type { Drawn, Live, PortalPlace, Pose } from "./accesswire";
import { html } from "./draw";

export function drawMoves(holder: HTMLElement, live: Live, side: "right" | "left", turn: (pose: Pose) => void): void {
  const same = (pose: Pose): boolean => JSON.stringify(pose) === JSON.stringify(live.pose);
  refresh(holder,
    html("h2", {}, "Arm positions in working order: ", askable("moves", String(live.moves.length))),
    html("ol", { class: "moves" }, ...live.moves.map((move) => {
      const go = html("button", { type: "button", disabled: same(move.pose) }, same(move.pose) ? "here now" : "Turn there");
      go.addEventListener("click", () => turn(move.pose));
      return html("li", {}, armGlyph(move.pose, side), html("div", {}, html("b", {}, move.sites.join(" ")), html("span", {}, move.pose_words)), go);
    })),
    live.unreached.length ? html("p", { class: "stop-words" }, html("b", {}, "Not reached"), ` ${live.unreached.join(", ")}: from no portal in any arm position tried.`) : "");
}

export function drawBetter(holder: HTMLElement, drawn: Drawn | null, move: (place: PortalPlace) => void): void {
  const found = drawn?.better ?? [];
  refresh(holder, ...(found.length ? [
    html("h2", {}, "Better portal places at this arm position"),
    html("ul", { class: "better" }, ...found.map((one) => {
      const go = html("button", { type: "button" }, "Move it there", html("span", { class: "unseen" }, `: the ${one.portal} portal`));
      go.addEventListener("click", () => move(one.place));
      return html("li", {}, html("div", {}, html("b", {}, one.portal), ": ", askable(`better.${one.portal}`, `${one.after} sites instead of ${one.before}`),
        html("small", {}, one.marking.map(([words, cm]) => `${cm} cm ${words}`).join("; "))), go);
    })),
  ] : []));
}

export function drawBeds(holder: HTMLElement, drawn: Drawn | null): void {
  const found = (drawn?.cautions ?? []).filter((one) => one.code === "beds-meet" || one.code === "bed-not-computed");
  refresh(holder, ...(found.length ? [
    html("h2", {}, "Anchor beds"),
    html("ul", { class: "cautions" }, ...found.map((one) => told(one.severity, one.text, one.fact ? askable(`caution.${one.code}`, "source") : null))),
  ] : []));
}
