// The settled answer streams in as draws arrive; a new change closes the stream of the old one.
import type { Hold } from "./wire";

export interface News { done: number; total: number; hold?: Hold; error?: string; words?: string }

export class Settling {
  private source: EventSource | null = null;

  constructor(private readonly path: string, private readonly heard: (kind: string, news: News) => void) {}

  start(): void {
    this.stop();
    const source = new EventSource(this.path);
    this.source = source;
    for (const kind of ["progress", "partial", "settled", "failed", "cancelled"]) {
      source.addEventListener(kind, (event) => {
        if (source !== this.source) return;
        if (kind !== "progress" && kind !== "partial") this.stop();
        this.heard(kind, JSON.parse((event as MessageEvent<string>).data) as News);
      });
    }
    source.addEventListener("error", () => {
      if (source !== this.source) return;
      this.stop();
      this.heard("lost", { done: 0, total: 0 });
    });
  }

  stop(): void {
    this.source?.close();
    this.source = null;
  }
}
