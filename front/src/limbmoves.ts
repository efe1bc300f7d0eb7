// Beside the way to the limbs: how many moves their shortest order of work has, or why there is none.
import { askable, refresh } from "./askable";
import { ask } from "./wire";

export class LimbMoves {
  private round = 0;

  constructor(private readonly path: string) {}

  /** Ask for what stands now; an older answer that comes late is dropped. */
  async tell(): Promise<void> {
    const told = document.getElementById("limb-moves");
    if (!told) return;
    const round = ++this.round;
    told.textContent = "";
    let words: string;
    try {
      ({ words } = await ask<{ words: string }>(this.path));
    } catch (wrong) {
      words = wrong instanceof Error ? `not computed: ${wrong.message}` : "";
    }
    if (round === this.round) refresh(told, words && !words.startsWith("not computed") ? askable("limbs.moves", words) : words);
  }
}
