// A repair that was laid on a tear measured otherwise since: one sentence above the work, and the way to lay it anew.
import { html } from "./draw";

export interface OlderSaid { words: string; pattern: string | null }

/** Say it above the verdict, or nothing; ``lay`` chooses the pattern again, which undo takes back. */
export function drawOlder(older: OlderSaid | null | undefined, lay: (pattern: string) => void): void {
  const before = document.getElementById("older");
  if (!older) {
    before?.remove();
    return;
  }
  const words = html("span", {}, older.words);
  const notice = html("div", { id: "older", class: "older", role: "status" }, words);
  const { pattern } = older;
  if (pattern !== null) {
    const anew = html("button", { type: "button" }, "Lay anew");
    anew.addEventListener("click", () => {
      anew.setAttribute("disabled", "");
      lay(pattern);
    });
    notice.append(anew, html("span", { class: "small" }, "Undo brings this one back."));
  }
  if (before?.firstChild?.textContent === older.words) return;
  if (before) before.replaceWith(notice);
  else document.getElementById("trouble")?.after(notice);
}
