// The strength under the keys of Theatre: worked out beside the walk, with its progress; it may be stopped and taken up again.
import { place } from "./draw";
import type { LogLine } from "./theatrewire";
import { ask, Silent } from "./wire";

interface Told { words: string; working: boolean; done: number; total: number }

const AGAIN_MS = 1000;
const BEARS = /^(something happened|otherwise|implant removed|implant entered|planned anew|measured|entry withdrawn|identity)/;

export class Strength {
  private asked = -1;
  private stopped = false;
  private timer = 0;
  private readonly button = place("hold-stop") as HTMLButtonElement;
  private readonly bar = place("hold-progress") as HTMLProgressElement;

  constructor(private readonly base: string) {
    this.button.addEventListener("click", () => (this.stopped ? this.again() : void this.stop()));
  }

  /** Ask anew when something was entered that bears on it; before theatre is open, so that it is ready by the first step. */
  show(log: readonly LogLine[]): void {
    const last = log.filter((line) => BEARS.test(line.words)).at(-1)?.seq ?? 0;
    if (last === this.asked) return;
    this.asked = last;
    if (!this.stopped) void this.ask(last);
  }

  private again(): void {
    this.stopped = false;
    void this.ask(this.asked);
  }

  private async stop(): Promise<void> {
    this.stopped = true;
    window.clearTimeout(this.timer);
    this.draw("Strength: stopped, not worked out to the end.", null);
    await ask(`${this.base}/theatre/hold/stop`, {}).catch(() => undefined);
  }

  private async ask(seq: number): Promise<void> {
    window.clearTimeout(this.timer);
    if (!place("hold").textContent) this.draw("Strength: being worked out.", null);
    let again = true;
    try {
      const told = await ask<Told>(`${this.base}/theatre/hold`);
      if (seq !== this.asked || this.stopped) return;
      this.draw(told.words, told);
      again = told.working;
    } catch (wrong) {
      if (seq !== this.asked || this.stopped) return;
      again = wrong instanceof Silent;
      if (!again) this.draw(`Strength: not computed. ${wrong instanceof Error ? wrong.message : ""}`, null);
    }
    if (again) this.timer = window.setTimeout(() => void this.ask(seq), AGAIN_MS);
  }

  private draw(words: string, told: Told | null): void {
    if (place("hold").textContent !== words) place("hold").textContent = words;
    const working = told?.working ?? false;
    this.bar.hidden = !working;
    if (told && working && told.total) { this.bar.max = told.total; this.bar.value = told.done; }
    this.button.hidden = !working && !this.stopped;
    this.button.textContent = this.stopped ? "Work it out" : "Stop working it out";
  }
}
