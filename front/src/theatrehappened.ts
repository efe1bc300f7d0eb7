// "Something happened": what, to which, the answer to it; only what the kind asks for is shown.
import { html, place } from "./draw";
import type { Operation } from "./theatrewire";

type Of = "anchors" | "sutures" | "limbs" | "portals";
interface Kind { label: string; of?: Of; none?: string; choices?: [string, string][]; at?: string; limb?: boolean }

const FELT: [string, string][] = [["", "go on as planned"], ["elsewhere", "put it elsewhere"], ["extra", "one more anchor"]];
const KINDS: Record<string, Kind> = {
  "anchor out": { label: "Anchor", of: "anchors", at: "New anchor at, mm (empty: none)" },
  "suture unloaded": { label: "Suture", of: "sutures", choices: [["drop", "go on without it"], ["rethread", "thread it again"], ["rescue", "another anchor"]], at: "Other anchor at, mm" },
  "suture broke": { label: "Limb", of: "limbs" },
  "knot failed": { label: "Suture", of: "sutures" },
  "tear longer": { label: "Next to anchor", of: "anchors", at: "Further anchor at, mm" },
  "portal unusable": { label: "Portal", of: "portals" },
  "cannula lost": { label: "Portal", of: "portals" },
  "wrong limb": { label: "Hole of limb", of: "limbs", limb: true, choices: [["unpass", "take it back"], ["accept", "leave it, change the layout"]] },
  "soft bone": { label: "Anchor", of: "anchors", none: "everywhere", choices: FELT, at: "At, mm" },
  "poor tissue": { label: "Limb", of: "limbs", none: "everywhere", choices: FELT, at: "At, mm" },
  "vision lost": { label: "Arthroscope goes to", of: "portals", none: "stays where it is" },
};

export interface Happened { kind: string; name: string; words: string; answer: string; choice: string; at: number | null; limb: string }

export class HappenedForm {
  private readonly kind = place("happened-kind") as HTMLSelectElement;
  private operation: Operation | null = null;

  constructor(entered: (entry: Happened) => void) {
    this.kind.addEventListener("change", () => this.draw());
    (place("happened") as HTMLFormElement).addEventListener("submit", (event) => {
      event.preventDefault();
      const entry = this.entry();
      if (entry) entered(entry);
    });
  }

  show(operation: Operation): void {
    const before = JSON.stringify(this.operation?.happened_to), drawn = this.kind.options.length > 0;
    this.operation = operation;
    if (!drawn) this.kind.replaceChildren(...operation.mishaps.map((kind) => html("option", {}, kind)));
    if (!drawn || before !== JSON.stringify(operation.happened_to)) this.draw();
  }

  private draw(): void {
    const kind = KINDS[this.kind.value] ?? { label: "To what" };
    const to = this.operation?.happened_to;
    const names = kind.of ? to?.[kind.of] ?? [] : [];
    const none: [string, string][] = kind.none === undefined ? [] : [["", kind.none]];
    const name = names.length || none.length
      ? pick("happened-name", [...none, ...names.map((one): [string, string] => [one, one])])
      : html("input", { id: "happened-name", maxlength: 40, autocomplete: "off" });
    const standing = Object.entries(to?.at ?? {}).map(([anchor, u]) => `${anchor} at ${u}`).join(", ");
    const at = kind.at ? html("input", { id: "happened-at", type: "number", step: "0.5", min: -80, max: 80, "aria-describedby": "happened-note" }) : null;
    const row = (words: string, control: HTMLElement | null): HTMLElement[] => (control ? [html("label", {}, `${words} `, control)] : []);
    place("happened-more").replaceChildren(
      ...row(kind.label, name),
      ...row("Limb that was passed", kind.limb ? pick("happened-limb", (to?.limbs ?? []).map((one) => [one, one])) : null),
      ...row("Answer", kind.choices ? pick("happened-choice", kind.choices) : null),
      ...row(kind.at ?? "", at),
      ...(at ? [html("p", { id: "happened-note", class: "soft" }, `Along the tear from the front of the footprint${standing ? `; anchors: ${standing}` : ""}.`)] : []),
    );
  }

  private entry(): Happened | null {
    const at = document.getElementById("happened-at") as HTMLInputElement | null;
    if (at && !at.checkValidity()) { at.focus(); return null; }
    const entry = {
      kind: this.kind.value, name: value("happened-name"), words: value("happened-words"), answer: value("happened-answer"),
      choice: value("happened-choice"), at: at && at.value !== "" ? at.valueAsNumber : null, limb: value("happened-limb"),
    };
    for (const id of ["happened-words", "happened-answer"]) (place(id) as HTMLInputElement).value = "";
    if (at) at.value = "";
    return entry;
  }
}

function pick(id: string, values: [string, string][]): HTMLSelectElement {
  return html("select", { id }, ...values.map(([one, words]) => html("option", { value: one }, words)));
}

const value = (id: string): string => (document.getElementById(id) as HTMLInputElement | null)?.value.trim() ?? "";
