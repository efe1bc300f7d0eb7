// While something moves: the newest wish is sent when the previous answer has arrived.
import { ask } from "./wire";

export class Latest<Wish, Answer> {
  private waiting: Wish | null = null;
  private running = false;
  private round = 0;

  /** ``measure`` is what the time from sending to redrawing is called. */
  constructor(
    private readonly path: string,
    private readonly measure: string,
    private readonly answered: (answer: Answer) => void,
    private readonly refused: (wrong: unknown) => void,
  ) {}

  want(wish: Wish): void {
    this.waiting = wish;
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
      const wish = this.waiting;
      const round = this.round;
      this.waiting = null;
      performance.mark(`${this.measure}-sent`);
      try {
        const answer = await ask<Answer>(this.path, wish);
        if (round === this.round) {
          this.answered(answer);
          performance.measure(this.measure, `${this.measure}-sent`);
        }
      } catch (wrong) {
        if (round === this.round) this.refused(wrong);
      }
    }
    this.running = false;
  }
}
