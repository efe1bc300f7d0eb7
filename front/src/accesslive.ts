// While the arm turns or a portal moves: the newest wish is sent when the previous answer has arrived.
import type { Live, PortalPlace, Pose, ScopeOrder } from "./accesswire";
import { ask } from "./wire";

export interface Wish { pose: Pose; portal: PortalPlace | null; scope: ScopeOrder }

export class Following {
  private waiting: Wish | null = null;
  private running = false;
  private round = 0;

  constructor(
    private readonly path: string,
    private readonly answered: (live: Live) => void,
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
      performance.mark("arm-sent");
      try {
        const live = await ask<Live>(this.path, wish);
        if (round === this.round) {
          this.answered(live);
          performance.measure("arm-to-redraw", "arm-sent");
        }
      } catch (wrong) {
        if (round === this.round) this.refused(wrong);
      }
    }
    this.running = false;
  }
}
