// The way back and forth: what would be undone and redone stands on the buttons.
import { html, place } from "./draw";

export const WAYS = ["undo", "redo"] as const;

export function drawHistory(board: { undo: string | null; redo: string | null }): void {
  for (const kind of WAYS) {
    const button = place(kind) as HTMLButtonElement;
    button.disabled = board[kind] === null;
    button.replaceChildren(kind === "undo" ? "Undo" : "Redo", ...(board[kind] ? [html("small", {}, board[kind])] : []));
  }
}
