// Something happened: what, to which, the surgeon's answer; then the plan is made anew from what stands.
import { html } from "./draw";
import type { Field, Mishap } from "./rehearsewire";

interface Kind {
  kind: string;
  words: string;
  names(field: Field): string[];
  label: string;
  answers?: [string, string][];
  at?: string;
  limb?: boolean;
}

const carriers = (field: Field): string[] => field.carriers.map((one) => one.name);
const sutures = (field: Field): string[] => field.sutures.map((one) => one.name);
const limbs = (field: Field): string[] => field.limbs.map((one) => one.name);
const portals = (field: Field): string[] => field.portals.map((one) => one.name);

const KINDS: Kind[] = [
  { kind: "anchor out", words: "Anchor pulled out", names: carriers, label: "Anchor", at: "New anchor at, mm from the front of the footprint (empty: none)" },
  { kind: "suture unloaded", words: "Suture out of its eyelet", names: sutures, label: "Suture", answers: [["rethread", "thread it again"], ["drop", "go on without it"], ["rescue", "another anchor"]], at: "Other anchor at, mm from the front of the footprint" },
  { kind: "suture broke", words: "Suture broke", names: limbs, label: "Limb" },
  { kind: "knot failed", words: "Knot failed", names: sutures, label: "Suture" },
  { kind: "tear longer", words: "Tear longer than planned", names: carriers, label: "Next to anchor", at: "Further anchor at, mm from the front of the footprint" },
  { kind: "portal unusable", words: "Portal cannot be used", names: portals, label: "Portal" },
  { kind: "cannula lost", words: "Cannula lost", names: (field) => field.portals.filter((one) => one.cannula).map((one) => one.name), label: "Portal" },
  { kind: "wrong limb", words: "Wrong limb passed", names: limbs, label: "Hole of limb", limb: true, answers: [["unpass", "take it back"], ["accept", "leave it, change the layout"]] },
];

export class MishapForm {
  private kind = KINDS[0]!;
  private open = false;

  constructor(private readonly holder: HTMLElement, private readonly happened: (mishap: Mishap, words: string) => void) {}

  draw(field: Field): void {
    const kinds = html("select", { id: "mishap-kind" }, ...KINDS.map((one) => html("option", { value: one.kind, selected: one === this.kind }, one.words)));
    kinds.addEventListener("change", () => { this.kind = KINDS.find((one) => one.kind === kinds.value) ?? this.kind; this.open = true; this.draw(field); this.holder.querySelector<HTMLElement>("#mishap-kind")?.focus(); });
    const name = pick("mishap-name", this.kind.names(field).map((one) => [one, one]));
    const limb = this.kind.limb ? pick("mishap-limb", limbs(field).map((one) => [one, one])) : null;
    const answer = this.kind.answers ? pick("mishap-answer", this.kind.answers) : null;
    const at = this.kind.at ? html("input", { id: "mishap-at", type: "number", step: "0.5", min: -80, max: 80 }) : null;
    const row = (id: string, words: string, control: HTMLElement | null): HTMLElement | null => (control ? html("p", { class: words.length > 24 ? "choose-field tall" : "choose-field" }, html("label", { for: id }, words), control) : null);
    const form = html("form", {}, row("mishap-kind", "What", kinds), row("mishap-name", this.kind.label, name), row("mishap-limb", "Limb that was passed", limb), row("mishap-answer", "Answer", answer), row("mishap-at", this.kind.at ?? "", at),
      html("button", { type: "submit" }, "Plan again from here"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const told = { kind: this.kind.kind, name: name.value, answer: answer?.value ?? "", at: at && at.value !== "" ? at.valueAsNumber : null, limb: limb?.value ?? "" };
      this.happened(told, `${this.kind.words}: ${told.limb ? `${told.limb} in the hole of ` : ""}${told.name}`);
    });
    const details = html("details", { class: "mishap", open: this.open }, html("summary", {}, html("h2", {}, "Something happened")), form);
    details.addEventListener("toggle", () => { this.open = details.open; });
    this.holder.replaceChildren(details);
  }
}

function pick(id: string, values: [string, string][]): HTMLSelectElement {
  return html("select", { id }, ...values.map(([value, words]) => html("option", { value }, words)));
}
