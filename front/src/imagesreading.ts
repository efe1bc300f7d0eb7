// A reading in words: value, the parts of its spread apart, warnings, and what it cannot know.
import { html } from "./draw";
import type { ReadingSaid } from "./imageswire";

export function valueWords({ value, sd, unit }: { value: number; sd: number; unit: string }): string {
  const places = sd >= 1 ? 1 : sd >= 0.1 ? 2 : 3;
  const shown = unit === "°" ? "°" : unit ? ` ${unit}` : "";
  return `${value.toFixed(places)}${shown}, SD ${sd.toFixed(places)}${shown}`;
}

export function drawReading(said: ReadingSaid): HTMLElement[] {
  const widest = Math.max(...said.parts.map((part) => part.sd), said.reader_sd ?? 0, said.sd) || 1;
  const row = (words: string, sd: number, cls = ""): HTMLElement => html("tr", { class: cls },
    html("th", { scope: "row" }, words), html("td", { class: "number" }, sd.toPrecision(2)),
    html("td", { class: "spread" }, html("meter", { min: 0, max: widest, value: sd, "aria-label": words })));
  return [
    html("p", { class: "value", id: "live-value" }, valueWords(said), said.answer ? `: ${said.answer}` : "", said.rounds > 1 ? ` (mean of ${said.rounds} rounds)` : ""),
    html("table", { class: "parts" }, html("caption", {}, `What its spread is made of, SD${said.unit ? ` in ${said.unit}` : ""}`),
      html("tbody", {}, ...said.parts.filter((part) => part.sd > 0).map((part) => row(part.words, part.sd)),
        said.reader_sd === null ? null : row(said.reader_sd > said.own_sd ? "published readers: larger, so it stands" : "published readers", said.reader_sd, "readers"))),
    html("p", { class: "note" }, `${said.method[0]?.toUpperCase()}${said.method.slice(1)}.`),
    ...said.warnings.map((words) => html("p", { class: "caution-words" }, `Caution: ${words}.`)),
    ...(said.assumed.length ? [html("p", { class: "note" }, `Rests on rows nobody has verified: ${said.assumed.join(", ")}.`)] : []),
    html("details", {}, html("summary", {}, "What it cannot know"), html("ul", { class: "cannot-know" }, ...said.cannot_know.map((words) => html("li", {}, words)))),
  ];
}
