// A result that can be asked: a button that opens what stands behind the number.
import { html } from "./draw";

export function askable(name: string, text: string): HTMLButtonElement {
  return html("button", { type: "button", class: "ask", "data-ask": name, "aria-haspopup": "true" }, text);
}

/** Put new content into a place without losing the focus or a press that is under way. */
export function refresh(holder: HTMLElement, ...children: (Node | string)[]): void {
  if (holder.querySelector(".ask:active")) {
    window.setTimeout(() => refresh(holder, ...children), 120);
    return;
  }
  const focused = document.activeElement;
  const name = focused instanceof HTMLElement && holder.contains(focused) ? focused.dataset["ask"] : undefined;
  const answer = holder.querySelector("#answer");
  holder.replaceChildren(...children);
  if (answer) holder.append(answer);
  if (name) holder.querySelector<HTMLElement>(`[data-ask="${CSS.escape(name)}"]`)?.focus({ preventScroll: true });
}
