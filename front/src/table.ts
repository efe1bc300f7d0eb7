// The case on the table: what stands, what was asked of the server, and in which order.
import { ask, Refused, Silent, type Board, type Hold } from "./wire";

const TRY_AGAIN_MS = 3000;

export interface Hears {
  /** A new board stands; ``why`` is a sentence when it came unasked. */
  stands(board: Board, why: string | null): void;
  /** Something was refused: one sentence. */
  refused(sentence: string): void;
  /** The server is silent; nothing is stored until it is back. */
  silent(sentence: string | null): void;
}

export class Table {
  board: Board | null = null;
  private queue: Promise<void> = Promise.resolve();
  private waiting = false;

  constructor(readonly path: string, private readonly hears: Hears) {}

  async read(why: string | null = null): Promise<void> {
    try {
      this.take(await ask<Board>(this.path), why);
    } catch (wrong) {
      this.trouble(wrong);
    }
  }

  /** Make one change; changes go one after the other, each on what then stands. */
  give(kind: string, payload: Record<string, unknown> = {}): Promise<void> {
    this.queue = this.queue.then(() => this.send(kind, payload));
    return this.queue;
  }

  /** A better answer to what stands has come. */
  settle(hold: Hold): void {
    if (this.board) this.board = { ...this.board, hold };
  }

  trouble(wrong: unknown): void {
    if (wrong instanceof Silent) this.lost();
    else if (wrong instanceof Refused) this.hears.refused(wrong.message);
    else throw wrong;
  }

  private async send(kind: string, payload: Record<string, unknown>): Promise<void> {
    const order = { id: crypto.randomUUID(), expected: this.board?.seq ?? 0, kind, payload };
    try {
      this.take(await ask<Board>(`${this.path}/commands`, order), null);
    } catch (wrong) {
      if (wrong instanceof Refused && wrong.status === 409 && wrong.board) this.take(wrong.board, wrong.message);
      else if (wrong instanceof Refused && this.board) this.hears.stands(this.board, wrong.message);
      else this.trouble(wrong);
    }
  }

  private take(board: Board, why: string | null): void {
    this.board = board;
    this.hears.stands(board, why);
  }

  private lost(): void {
    if (this.waiting) return;
    this.waiting = true;
    this.hears.silent("The server does not answer, so the last change was not stored. Start cuffwright serve again; this page goes on by itself when it is back.");
    const again = async (): Promise<void> => {
      try {
        const board = await ask<Board>(this.path);
        this.waiting = false;
        this.hears.silent(null);
        this.take(board, null);
      } catch {
        window.setTimeout(() => void again(), TRY_AGAIN_MS);
      }
    };
    window.setTimeout(() => void again(), TRY_AGAIN_MS);
  }
}
