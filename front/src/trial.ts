// Estimates while something moves: the newest place is sent when the previous answer has arrived.
import { ask, type Hold } from "./wire";

export interface Wanted { kind: "move-anchor" | "move-hole"; payload: { name: string; u: number; v: number } }

export class Trial {
  private waiting: Wanted | null = null;
  private running = false;
  private round = 0;

  constructor(
    private readonly path: string,
    private readonly answered: (hold: Hold) => void,
    private readonly refused: (wrong: unknown) => void,
  ) {}

  want(wanted: Wanted): void {
    this.waiting = wanted;
    void this.run();
  }

  /** Forget what was asked; answers still under way are not shown. */
  stop(): void {
    this.waiting = null;
    this.round++;
  }

  private async run(): Promise<void> {
    if (this.running) return;
    this.running = true;
    while (this.waiting) {
      const wanted = this.waiting;
      const round = this.round;
      this.waiting = null;
      performance.mark("trial-sent");
      try {
        const { hold } = await ask<{ hold: Hold | null }>(this.path, wanted);
        if (round === this.round && hold) {
          this.answered(hold);
          performance.measure("drag-to-redraw", "trial-sent");
        }
      } catch (wrong) {
        if (round === this.round) this.refused(wrong);
      }
    }
    this.running = false;
  }
}
