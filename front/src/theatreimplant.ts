// Implants in Theatre: a label is scanned, pasted or photographed, read back, and entered for its place.
import { html, place } from "./draw";
import { freshId, type Outbox } from "./theatreoutbox";
import type { LabelRead, Operation } from "./theatrewire";
import { ask } from "./wire";

const WAIT_MS = 250;

export class Implants {
  private timer = 0;
  private read: LabelRead | null = null;
  private chosen: string | null = null;
  private kinds: Record<string, string> = {};
  private readonly text = place("label-text") as HTMLTextAreaElement;

  constructor(private readonly base: string, private readonly outbox: Outbox) {
    this.text.addEventListener("input", () => {
      window.clearTimeout(this.timer);
      this.timer = window.setTimeout(() => void this.look(), WAIT_MS);
    });
    place("label-place").addEventListener("change", () => { this.chosen = (place("label-place") as HTMLSelectElement).value; this.tell(); });
    place("label-photo").addEventListener("change", () => void this.photograph());
    (place("implant") as HTMLFormElement).addEventListener("submit", (event) => {
      event.preventDefault();
      this.enter();
    });
  }

  show(operation: Operation): void {
    this.kinds = operation.kinds;
    const choice = place("label-place") as HTMLSelectElement;
    const taken = new Set(operation.implants.filter((i) => i.where === "inside").map((i) => i.place));
    const free = operation.places.filter((name) => !taken.has(name));
    const kept = this.chosen;
    choice.replaceChildren(
      ...free.map((name) => html("option", { value: name }, `anchor ${name}`)),
      html("option", { value: "" }, "opened, not put in"),
    );
    if (kept !== null && [...choice.options].some((option) => option.value === kept)) choice.value = kept;
    place("implants").replaceChildren(html("ul", {}, ...operation.implants.map((one) => this.line(one))));
  }

  private line(one: Operation["implants"][number]): HTMLElement {
    const at = one.place ? `anchor ${one.place}` : "no place";
    const words = html("span", {}, `${one.where}, ${at}: ${one.item || one.printed}`);
    const ends = { inside: ["Came out", "theatre.implant-removed"], opened: ["Wasted", "theatre.implant-wasted"] } as const;
    const end = one.where === "inside" || one.where === "opened" ? ends[one.where] : null;
    if (!end) return html("li", {}, words);
    const reason = html("input", { "aria-label": `Reason, implant at ${at}`, placeholder: "reason", maxlength: 400, autocomplete: "off" });
    const button = html("button", { type: "button" }, end[0], html("span", { class: "unseen" }, ` ${at}`));
    button.addEventListener("click", () => {
      if (!reason.value.trim()) return reason.focus();
      const entry = { implant: one.implant, reason: reason.value.trim() };
      this.outbox.add(`${this.base}/theatre/entries`, { kind: end[1], entry }, `${end[0].toLowerCase()}: ${at}`);
    });
    return html("li", { class: "row" }, words, ...(one.where === "opened" ? [this.putIn(one)] : []), reason, button);
  }

  /** Put an opened implant where the choice of places stands. */
  private putIn(one: Operation["implants"][number]): HTMLElement {
    const button = html("button", { type: "button" }, "Put in at the place chosen above");
    button.addEventListener("click", () => {
      const goal = (place("label-place") as HTMLSelectElement).value;
      if (!goal) return place("label-place").focus();
      const body = { implant: one.implant, place: goal, text: one.raw, expired_reason: one.expired_reason };
      this.outbox.add(`${this.base}/theatre/implants`, body, `implant, anchor ${goal}`);
    });
    return button;
  }

  private enter(): void {
    const text = this.text.value.trim();
    const reason = (place("expired-reason") as HTMLInputElement).value.trim();
    if (!text) return this.text.focus();
    if (this.read?.shelf === "expired" && !reason) return place("expired-reason").focus();
    const goal = (place("label-place") as HTMLSelectElement).value;
    const body = { implant: freshId(), place: goal, text, expired_reason: reason };
    this.outbox.add(`${this.base}/theatre/implants`, body, `implant, ${goal ? `anchor ${goal}` : "only opened"}`);
    this.text.value = "";
    this.chosen = null;
    (place("expired-reason") as HTMLInputElement).value = "";
    this.read = null;
    this.tell();
    this.text.focus();
  }

  private async photograph(): Promise<void> {
    const chosen = place("label-photo") as HTMLInputElement;
    const file = chosen.files?.[0];
    if (!file) return;
    try {
      const answer = await fetch(`${this.base}/theatre/photograph`, { method: "POST", body: file });
      const found = (await answer.json()) as { codes?: string[]; error?: string };
      if (found.codes?.length) this.text.value = found.codes.join("\n");
      else place("label-read").replaceChildren(found.error ?? "No code was found on the photograph; scan the label or type it.");
      if (found.codes?.length) await this.look();
    } catch {
      place("label-read").replaceChildren("The server does not answer, so the photograph is not read; scan the label or type it.");
    }
    chosen.value = "";
  }

  private async look(): Promise<void> {
    const text = this.text.value.trim();
    this.read = null;
    if (!text) return this.tell();
    try {
      this.read = (await ask<{ label: LabelRead }>(`${this.base}/theatre/label`, { text })).label;
      this.tell();
    } catch (wrong) {
      this.tell();
      place("label-read").replaceChildren(html("span", { class: "wrong" }, wrong instanceof Error ? wrong.message : "not read"));
    }
  }

  private tell(): void {
    const read = this.read;
    (place("expired-row") as HTMLElement).hidden = read?.shelf !== "expired";
    if (!read) return place("label-read").replaceChildren();
    const named = read.item ? read.item.key : read.stock ? "not in the stock" : "no stock is kept";
    const parts = [`device ${read.identifier}`, `lot ${read.lot ?? "not named"}`, `serial ${read.serial ?? "not named"}`];
    const planned = this.kinds[(place("label-place") as HTMLSelectElement).value];
    const other = read.item && planned && planned !== read.item.kind ? [`Planned there: ${planned}. This is ${read.item.kind}.`] : [];
    const expired = "past its date on the day of this operation. Take another one, or write a reason.";
    place("label-read").replaceChildren(
      html("p", {}, `${named}; ${parts.join(", ")}, expires ${read.expires ?? "not named"}`),
      ...(read.shelf === "expired" ? [html("p", { class: "expired" }, expired)] : []),
      ...[...other, ...read.notes].map((note) => html("p", { class: "note-word" }, note)),
    );
  }
}
