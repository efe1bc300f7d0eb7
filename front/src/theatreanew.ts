// The limbs planned anew after something happened: asked for once all entries are kept, shown, and undone by two withdrawals.
import { html, place } from "./draw";
import type { Outbox } from "./theatreoutbox";
import type { Operation } from "./theatrewire";

const UNDONE = "undone in theatre: it did not happen as entered";

export class Anew {
  private asked = -1;
  private shown = -1;
  private seqs: number[] = [];
  private first = "";

  constructor(private readonly base: string, private readonly outbox: Outbox, private readonly go: (step: string) => void) {
    place("anew-go").addEventListener("click", () => { if (this.first) this.go(this.first); });
    place("anew-close").addEventListener("click", () => { place("anew").hidden = true; });
    place("anew-undo").addEventListener("click", () => {
      for (const seq of this.seqs) this.outbox.add(`${this.base}/theatre/entries`, { kind: "theatre.withdrawn", entry: { seq, reason: UNDONE } }, `entry ${seq} withdrawn`);
      place("anew").hidden = true;
    });
  }

  /** What stands; ``begun`` on the first look, when nothing is news. */
  show(operation: Operation, begun: boolean): void {
    const anew = operation.anew;
    if (!anew) return;
    const open = this.outbox.list.some((one) => one.refused === undefined);
    if (anew.waits && !open && this.asked !== operation.seq) {
      this.asked = operation.seq;
      this.outbox.add(`${this.base}/theatre/limbs`, {}, "plan the limbs anew");
    }
    const key = Math.max(anew.seq, ...anew.fresh.map((one) => one.seq), ...anew.refused.map((one) => one.seq));
    if (operation.limbs_refused) return this.tell("Not planned anew", [operation.limbs_refused], "Go on by hand, or enter it again more exactly.", anew.fresh.map((one) => one.seq), "");
    if (anew.waits || key === this.shown) return;
    this.shown = key;
    if (begun && !anew.seq) return;
    const refused = anew.refused.filter((one) => one.seq > anew.seq), fresh = anew.fresh.filter((one) => one.seq > anew.seq);
    if (refused.length) this.tell("Look again: not planned anew", refused.map((one) => one.why), "Go on by hand, or enter it again more exactly.", refused.map((one) => one.seq), "");
    else if (fresh.length) this.tell("The order of limbs stays", fresh.map((one) => one.change), "", fresh.map((one) => one.seq), "");
    else if (anew.seq) {
      this.tell("Limbs planned anew", anew.changes, anew.words, [anew.seq, ...anew.because], anew.first);
      if (!begun && anew.first) this.go(anew.first);
      if (begun) place("anew").hidden = operation.left.includes(anew.first);
    } else place("anew").hidden = true;
  }

  private tell(head: string, changes: string[], words: string, seqs: number[], first: string): void {
    this.seqs = seqs;
    this.first = first;
    place("anew").hidden = false;
    place("anew-head").textContent = head;
    place("anew-changes").replaceChildren(...changes.map((one) => html("li", {}, one)));
    place("anew-words").textContent = words;
    place("anew-undo").hidden = !seqs.length;
    place("anew-go").hidden = !first;
    place("said").textContent = `${head}: ${changes.join("; ")}. ${words}`;
  }
}
