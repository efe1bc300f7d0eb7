// What was accepted: each reading with its value; a click shows its picture and its marks again.
import { html } from "./draw";
import { valueWords } from "./imagesreading";
import type { ImagesBoard, TakenSaid } from "./imageswire";

export function drawTaken(holder: HTMLElement, board: ImagesBoard, shown: string, show: (one: TakenSaid) => void): void {
  const rows = board.readings.map((one) => {
    const button = html("button", { type: "button", class: "taken-button", id: `taken-${one.name}`, disabled: !one.spot, "aria-pressed": String(one.name === shown) },
      html("b", {}, one.title), html("span", {}, valueWords(one)),
      html("small", {}, one.fills.length ? `in the case: ${one.fills.join(", ")}` : "kept beside the case"),
      one.standing ? null : html("small", { class: "wrong" }, "the case holds another value now"),
      one.spot ? null : html("small", { class: "wrong" }, "its picture is not here"));
    button.addEventListener("click", () => show(one));
    return html("li", {}, button);
  });
  holder.replaceChildren(html("h2", {}, "Taken"),
    rows.length ? html("ul", { class: "taken" }, ...rows) : html("p", { class: "note" }, "Nothing yet."),
    rows.length ? html("p", {}, html("a", { href: `/api/cases/${board.key}/images/report`, download: "readings.dcm" }, "Structured report of the measures (DICOM)")) : "");
}
