// Values to grey levels by the functions of the standard (PS3.3, C.11.2); low values bright where the picture says so.

export type WindowFunction = "LINEAR" | "LINEAR_EXACT" | "SIGMOID";
export interface Window { centre: number; width: number; function: WindowFunction }

const WHITE = 255;

/** The grey level, 0 to 255 and not rounded, of one value. */
export function grey(value: number, { centre, width, function: way }: Window): number {
  if (way === "SIGMOID") return WHITE / (1 + Math.exp((-4 * (value - centre)) / width));
  const middle = way === "LINEAR" ? centre - 0.5 : centre;
  const wide = way === "LINEAR" ? width - 1 : width;
  if (wide <= 0) return value > middle ? WHITE : 0;
  return Math.min(Math.max(((value - middle) / wide + 0.5) * WHITE, 0), WHITE);
}

/** Draw values into ``pixels`` (one 32-bit number a pixel, little end first). */
export function drawThrough(values: Float32Array, window: Window, dark: boolean, pixels: Uint32Array): void {
  const flip = dark ? WHITE : 0;
  if (window.function === "SIGMOID") {
    for (let i = 0; i < pixels.length; i++) pixels[i] = opaque(Math.round(grey(values[i]!, window)) ^ flip);
    return;
  }
  const exact = window.function === "LINEAR_EXACT";
  const middle = exact ? window.centre : window.centre - 0.5;
  const wide = exact ? window.width : window.width - 1;
  if (wide <= 0) {
    for (let i = 0; i < pixels.length; i++) pixels[i] = opaque((values[i]! > middle ? WHITE : 0) ^ flip);
    return;
  }
  const slope = WHITE / wide;
  const start = WHITE / 2 - middle * slope + 0.5;
  for (let i = 0; i < pixels.length; i++) {
    const level = values[i]! * slope + start;
    const held = level < 0 ? 0 : level > WHITE ? WHITE : level | 0;
    pixels[i] = opaque(held ^ flip);
  }
}

function opaque(level: number): number {
  return (0xff000000 | (level << 16) | (level << 8) | level) >>> 0;
}
