// The learner's own next move: a verb, the limbs picked in the bays, and where to.
import { told } from "./cautions";
import { html } from "./draw";
import { hanging, whereIs, type Field, type Finding, type Move, type MoveKind, type State } from "./rehearsewire";

const VERBS: [MoveKind, string][] = [
  ["insert", "Insert anchor"], ["test", "Pull on anchor"], ["retrieve", "Retrieve"], ["pass", "Pass"], ["penetrate", "Pierce"], ["tie", "Tie"],
  ["cut", "Cut"], ["scope", "Arthroscope"], ["seat", "Seat lateral anchor"], ["unpass", "Take back"], ["cannula", "Place cannula"],
];
const OF_LIMBS: readonly MoveKind[] = ["retrieve", "pass", "penetrate", "tie", "cut", "unpass"];
const TO: Partial<Record<MoveKind, string>> = {
  insert: "through", retrieve: "to", pass: "handed to", penetrate: "out through", scope: "to", seat: "through", unpass: "to", cannula: "in",
};

export interface Offers { tried(move: Move): void }

export class Chooser {
  readonly picked = new Set<string>();
  private kind: MoveKind = "insert";
  private anchor = "";
  private to = "";
  private under = "";
  private mid = false;
  private compartment: Move["compartment"] = "subacromial";
  private field: Field | null = null;
  private state: State | null = null;

  constructor(private readonly holder: HTMLElement, private readonly offers: Offers) {}

  pick(limb: string): void {
    if (this.picked.has(limb)) this.picked.delete(limb);
    else this.picked.add(limb);
    if (!OF_LIMBS.includes(this.kind)) this.kind = "retrieve";
    this.draw();
  }

  /** A new point: what was picked is let go. */
  stand(field: Field, state: State): void {
    [this.field, this.state] = [field, state];
    this.picked.clear();
    if (!this.anchors().includes(this.anchor)) this.anchor = this.anchors()[0] ?? "";
    this.draw();
  }

  draw(): void {
    const { field, state } = this;
    if (!field || !state) return;
    const focused = document.activeElement instanceof HTMLElement && this.holder.contains(document.activeElement) ? document.activeElement.id || document.activeElement.dataset["verb"] : undefined;
    const verbs = VERBS.map(([kind, words]) => {
      const button = html("button", { type: "button", "data-verb": kind, "aria-pressed": String(kind === this.kind) }, words);
      button.addEventListener("click", () => { this.kind = kind; this.anchor = this.anchors()[0] ?? ""; this.draw(); });
      return button;
    });
    const form = html("form", { class: "choose" }, html("h2", {}, "Your next move"), html("div", { class: "verbs", role: "group", "aria-label": "What is done" }, ...verbs), ...this.fields(field));
    form.append(html("button", { type: "submit", class: "try" }, "Ask the judge"));
    form.addEventListener("submit", (event) => { event.preventDefault(); this.offers.tried(this.move(field, state)); });
    this.holder.replaceChildren(form);
    if (focused) this.holder.querySelector<HTMLElement>(`#${CSS.escape(focused)}, [data-verb="${CSS.escape(focused)}"]`)?.focus({ preventScroll: true });
  }

  private fields(field: Field): HTMLElement[] {
    const parts: HTMLElement[] = [];
    const names = [...this.picked].join(", ");
    if (OF_LIMBS.includes(this.kind)) parts.push(html("p", { class: "picked" }, names ? `Limbs: ${names}` : "Pick limbs in the bays on the map."));
    if (["insert", "test", "seat"].includes(this.kind)) parts.push(this.select("choose-anchor", this.kind === "seat" ? "Lateral anchor" : "Anchor", this.anchors(), this.anchor, (found) => { this.anchor = found; }));
    const to = TO[this.kind];
    if (to) {
      const portals = field.portals.map((one) => one.name);
      if (!portals.includes(this.to)) this.to = portals[0] ?? "";
      parts.push(this.select("choose-to", `Portal, ${to}`, portals, this.to, (found) => { this.to = found; }));
    }
    if (this.kind === "scope") parts.push(this.select("choose-space", "Space", ["subacromial", "joint"], this.compartment, (found) => { this.compartment = found === "joint" ? "joint" : "subacromial"; }));
    if (this.kind === "retrieve") parts.push(this.how());
    return parts;
  }

  private how(): HTMLElement {
    const under = html("input", { id: "choose-under", type: "text", value: this.under, placeholder: "none: over all", autocomplete: "off" });
    under.addEventListener("input", () => { this.under = under.value; });
    const mid = html("input", { id: "choose-mid", type: "checkbox", checked: this.mid });
    mid.addEventListener("change", () => { this.mid = mid.checked; });
    return html("details", { class: "how", open: this.under !== "" || this.mid },
      html("summary", {}, "How the grasper goes"),
      html("label", { for: "choose-under" }, "Under limbs (names, with spaces)"), under,
      html("label", { class: "tick", for: "choose-mid" }, mid, " grasped in mid-strand, not close to its source"));
  }

  private select(id: string, label: string, values: string[], value: string, chosen: (found: string) => void): HTMLElement {
    const select = html("select", { id }, ...values.map((one) => html("option", { value: one, selected: one === value }, one)));
    select.addEventListener("change", () => chosen(select.value));
    return html("p", { class: "choose-field" }, html("label", { for: id }, label), select);
  }

  private anchors(): string[] {
    if (!this.field || !this.state) return [];
    return (this.kind === "seat" ? this.field.seats : this.field.carriers).map((one) => one.name);
  }

  private move(field: Field, state: State): Move {
    const limbs = this.kind === "seat" ? hanging(field, state, this.to) : OF_LIMBS.includes(this.kind) ? this.whole(field) : [];
    const source = limbs.length && ["retrieve", "pass", "penetrate"].includes(this.kind) ? whereIs(field, state, limbs[0]!) : "";
    const to = this.kind === "tie" ? (limbs.length ? whereIs(field, state, limbs[0]!) : "") : TO[this.kind] ? this.to : "";
    const under = this.kind === "retrieve" ? this.under.split(/[\s,]+/).filter(Boolean).flatMap((name) => field.sutures.find((one) => one.name === name)?.limbs ?? [name]) : [];
    return {
      kind: this.kind, limbs, source, to, under, held: true,
      anchor: ["insert", "test", "seat"].includes(this.kind) ? this.anchor : "",
      grab: this.kind === "retrieve" && this.mid ? "mid-strand" : "at the source",
      compartment: this.kind === "scope" ? this.compartment : "subacromial",
    };
  }

  /** A knot and a cut are about both limbs of a suture, whichever was picked. */
  private whole(field: Field): string[] {
    const picked = [...this.picked];
    if (this.kind !== "tie" && this.kind !== "cut") return picked;
    const suture = field.sutures.find((one) => one.limbs.some((limb) => picked.includes(limb)));
    return suture ? [...suture.limbs] : [];
  }
}

const SEVERE = { illegal: "stop", risk: "caution", note: "note" } as const;

/** What the judge said of a move; a risk may be taken. */
export function drawJudged(holder: HTMLElement, words: string, findings: readonly Finding[], made: boolean, longer: number | null, anyway: () => void): void {
  const head = made ? "Made" : findings.some((one) => one.severity === "illegal") ? "Not made" : "Wait";
  const cost = !made || longer === null ? "" : longer <= 0 ? "As short as the plan." : `${longer} ${longer === 1 ? "move" : "moves"} longer than the plan was.`;
  const items = findings.map((one) => told(SEVERE[one.severity], one.text, one.remedy ? html("span", { class: "remedy" }, `What to do: ${one.remedy}`) : null));
  const again = html("button", { type: "button" }, "Make it anyway");
  again.addEventListener("click", anyway);
  holder.className = made ? "judged made" : "judged refused";
  holder.replaceChildren(
    html("h2", {}, `${head}: ${words}`),
    html("p", {}, findings.length ? cost : `Nothing speaks against it. ${cost}`),
    items.length ? html("ul", { class: "cautions" }, ...items) : "",
    head === "Wait" ? again : "");
}

