// The verdict: one sentence, its numbers askable.
import { askable, refresh } from "./askable";
import { html } from "./draw";
import type { Hold } from "./wire";

const NUMBERS = /(good|fair|poor)(?= tissue)|(?:about )?[\d.]+ N\b|[\d.]+ and [\d.]+|[\d.]+ mm\b|(?<=rule )[\d.]+\b/g;

export function drawVerdict(holder: HTMLElement, hold: Hold): void {
  refresh(holder, ...(hold.verdict_parts ? given(hold.verdict_parts) : found(hold.verdict)));
}

/** Words and askable numbers; what closes a number (comma, bracket, point) stays on its line. */
function given(parts: readonly [string, string][]): (Node | string)[] {
  const shown: (Node | string)[] = [];
  let button: HTMLElement | null = null;
  for (const [words, name] of parts) {
    const [, close = "", rest = ""] = /^([.,;:)]*)([^]*)$/.exec(words) ?? [];
    if (close && button) shown[shown.length - 1] = html("span", { class: "together" }, button, close);
    else if (close) shown.push(close);
    const space = /^\s*/.exec(rest)?.[0] ?? "";
    if (space) shown.push(space);
    button = name && rest.trim() ? askable(name, rest.trim()) : null;
    if (rest.trim()) shown.push(button ?? rest.slice(space.length));
  }
  return shown;
}

/** The same from the bare sentence: forces belong to the tissue named before them, lengths to the spacing rule. */
function found(sentence: string): (Node | string)[] {
  const parts: (Node | string)[] = [];
  let [last, tissue] = [0, ""];
  for (const match of sentence.matchAll(NUMBERS)) {
    if (match[1]) {
      tissue = match[1];
      continue;
    }
    const force = match[0].endsWith("N") || match[0].includes(" and ");
    parts.push(sentence.slice(last, match.index), askable(force ? (tissue ? `ultimate.${tissue}` : "ultimate") : "spacing", match[0]));
    last = match.index + match[0].length;
  }
  return [...parts, sentence.slice(last)];
}
