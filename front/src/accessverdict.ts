// The verdict of Access: words and askable numbers; a closing mark stays with its number.
import { askable, refresh } from "./askable";
import type { Verdict } from "./accesswire";
import { html } from "./draw";

export function drawAccessVerdict(holder: HTMLElement, verdict: Verdict): void {
  const shown: (Node | string)[] = [];
  for (const [words, name] of verdict) {
    const [, close = "", rest = ""] = /^([.,;:)]*)([^]*)$/.exec(words) ?? [];
    const last = shown[shown.length - 1];
    if (close && last instanceof HTMLElement) shown[shown.length - 1] = html("span", { class: "together" }, last, close);
    else if (close) shown.push(close);
    if (rest) shown.push(name ? askable(name, rest) : rest);
  }
  refresh(holder, ...shown);
}
