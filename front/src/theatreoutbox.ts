// The outbox of Theatre: every entry is kept in this browser first and leaves it only when the server has taken it.
import { ask, Refused } from "./wire";

export interface Waiting { id: string; happened: string; path: string; body: Record<string, unknown>; words: string; refused?: string }

const AGAIN_MS = 2000;

export const freshId = (): string => crypto.randomUUID();

export class Outbox {
  private waiting: Waiting[];
  private busy = false;
  private readonly name: string;
  silent = false;

  constructor(key: string, private readonly took: (answer: unknown) => void, private readonly changed: () => void) {
    this.name = `outbox-${key}`;
    this.waiting = JSON.parse(localStorage.getItem(this.name) ?? "[]") as Waiting[];
    window.setInterval(() => void this.flush(), AGAIN_MS);
    void this.flush();
  }

  get list(): readonly Waiting[] {
    return this.waiting;
  }

  add(path: string, body: Record<string, unknown>, words: string): void {
    this.waiting.push({ id: freshId(), happened: new Date().toISOString(), path, body, words });
    this.keep();
    void this.flush();
  }

  /** Take away what the server refused; what it has not seen yet stays. */
  drop(id: string): void {
    this.waiting = this.waiting.filter((one) => one.id !== id || one.refused === undefined);
    this.keep();
  }

  private async flush(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    try {
      for (let next = this.first(); next; next = this.first()) if (!(await this.send(next))) break;
    } finally {
      this.busy = false;
    }
  }

  /** Send one; false when the server is silent. */
  private async send(one: Waiting): Promise<boolean> {
    try {
      const answer = await ask<unknown>(one.path, { id: one.id, happened: one.happened, ...one.body });
      this.waiting = this.waiting.filter((other) => other.id !== one.id);
      this.silent = false;
      this.keep();
      this.took(answer);
    } catch (wrong) {
      if (wrong instanceof Refused && wrong.status < 500) {
        one.refused = wrong.message;
        this.keep();
        return true;
      }
      this.silent = true;
      this.changed();
      return false;
    }
    return true;
  }

  private first(): Waiting | undefined {
    return this.waiting.find((one) => one.refused === undefined);
  }

  private keep(): void {
    localStorage.setItem(this.name, JSON.stringify(this.waiting));
    this.changed();
  }
}
