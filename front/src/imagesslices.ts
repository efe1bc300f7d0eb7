// Slices fetched and kept, the near ones first, so that turning pages never waits.
import { Refused, Silent } from "./wire";
import type { Window, WindowFunction } from "./imageswindow";

const ROOM = 256 * 1024 * 1024;
const AT_ONCE = 4;

export interface Slice {
  kind: "values" | "levels" | "colour";
  values: Float32Array | null;
  levels: Uint8Array | null;
  window: Window | null;
  lowIsBright: boolean;
}

export class Slices {
  private readonly kept = new Map<string, Slice>();
  private readonly under = new Map<string, Promise<Slice>>();
  private held = 0;
  private round = 0;

  constructor(private readonly key: string) {}

  /** The slice when it is here. */
  here(series: number, index: number): Slice | undefined {
    return this.kept.get(`${series}/${index}`);
  }

  async get(series: number, index: number): Promise<Slice> {
    const name = `${series}/${index}`;
    const here = this.kept.get(name);
    if (here) return here;
    const under = this.under.get(name);
    if (under) return under;
    const coming = this.fetch(name).finally(() => this.under.delete(name));
    this.under.set(name, coming);
    return coming;
  }

  /** Fetch the rest of a series in the background, from ``middle`` outwards; a later call takes the place of this. */
  async ahead(series: number, middle: number, count: number): Promise<void> {
    const round = ++this.round;
    const order = [...Array(count).keys()].sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle));
    const next = async (): Promise<void> => {
      for (let index = order.shift(); index !== undefined; index = order.shift()) {
        if (round !== this.round || this.held > ROOM) return;
        await this.get(series, index).catch(() => undefined);
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, next));
  }

  private async fetch(name: string): Promise<Slice> {
    let response: Response;
    try {
      response = await fetch(`/api/cases/${this.key}/images/series/${name}`);
    } catch {
      throw new Silent("The server does not answer.");
    }
    if (!response.ok) throw new Refused(response.status, ((await response.json()) as { error: string }).error, null);
    const body = await response.arrayBuffer();
    const kind = (response.headers.get("X-Kind") ?? "values") as Slice["kind"];
    const [centre, width, way] = (response.headers.get("X-Window") ?? "").split(",");
    const slice: Slice = {
      kind,
      values: kind === "values" ? new Float32Array(body) : null,
      levels: kind === "values" ? null : new Uint8Array(body),
      window: way ? { centre: Number(centre), width: Number(width), function: way as WindowFunction } : null,
      lowIsBright: response.headers.get("X-Low-Is-Bright") === "1",
    };
    this.keep(name, slice, body.byteLength);
    return slice;
  }

  private keep(name: string, slice: Slice, bytes: number): void {
    this.kept.set(name, slice);
    this.held += bytes;
    for (const [old, gone] of this.kept) {
      if (this.held <= ROOM || this.kept.size <= 1) break;
      this.kept.delete(old);
      this.held -= (gone.values ?? gone.levels)!.byteLength;
    }
  }
}
