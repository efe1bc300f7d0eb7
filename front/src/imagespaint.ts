// One picture painted: values through the window into a canvas of its own size, and that onto the screen.
import { drawThrough, type Window } from "./imageswindow";
import type { Slice } from "./imagesslices";

export class Paint {
  readonly canvas = document.createElement("canvas");
  private readonly pen = this.canvas.getContext("2d", { alpha: false })!;
  private pixels: ImageData | null = null;

  /** Paint a slice of ``columns`` by ``rows``; ``invert`` is the hand's wish, on top of what the picture says itself. */
  draw(slice: Slice, columns: number, rows: number, window: Window, invert: boolean): void {
    if (!this.pixels || this.canvas.width !== columns || this.canvas.height !== rows) {
      this.canvas.width = columns;
      this.canvas.height = rows;
      this.pixels = this.pen.createImageData(columns, rows);
    }
    const words = new Uint32Array(this.pixels.data.buffer);
    if (slice.values) drawThrough(slice.values, window, slice.lowIsBright !== invert, words);
    else levels(slice, invert, words);
    this.pen.putImageData(this.pixels, 0, 0);
  }
}

function levels(slice: Slice, invert: boolean, words: Uint32Array): void {
  const flip = invert ? 0xffffff : 0;
  const from = slice.levels!;
  for (let i = 0; i < words.length; i++) {
    const colour = slice.kind === "colour";
    const [r, g, b] = colour ? [from[3 * i]!, from[3 * i + 1]!, from[3 * i + 2]!] : [from[i]!, from[i]!, from[i]!];
    words[i] = (0xff000000 | ((b << 16) | (g << 8) | r) ^ flip) >>> 0;
  }
}
