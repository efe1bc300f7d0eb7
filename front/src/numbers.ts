// Numbers as a surgeon reads them. Results arrive rounded; only places and differences are rounded here.
import type { Interval } from "./wire";

export const mm = (value: number): string => `${value.toFixed(1)} mm`;

export const percent = (share: number): string => {
  const value = share * 100;
  return value > 0 && value < 1 ? "< 1 %" : `${Math.round(value)} %`;
};

/** How many in ten of the draws lie between low and high, in words: "9 in 10". */
export const tenths = (share: number): string => `${Math.round(share * 10)} in 10`;

export const spread = (i: Interval): string => `${tenths(i.share)} between ${i.low} and ${i.high}`;

/** Round up to 1, 2 or 5 times a power of ten: the end of an axis. */
export function axisEnd(value: number): number {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  const steps = [1, 1.5, 2, 3, 4, 5, 6, 8, 10];
  return (steps.find((step) => step * power >= value) ?? 10) * power;
}

/**
 * A change in words. It is within noise when the new middle lies inside the middle half of the last settled spread
 * (for a normal spread, 0.41 of the way from the middle to the end of a 9-in-10 interval).
 */
export function change(now: Interval, before: Interval): string {
  const moved = now.middle - before.middle;
  const end = moved < 0 ? before.middle - before.low : before.high - before.middle;
  const digits = Math.abs(moved) < 10 ? 1 : 0;
  const sign = moved < 0 ? "−" : "+";
  const size = Math.abs(moved).toFixed(digits);
  if (Number(size) === 0) return "no change";
  const noise = Math.abs(moved) <= MIDDLE_HALF * end ? ", within noise" : "";
  return `${sign}${size} ${now.unit}${noise}`;
}

const MIDDLE_HALF = 0.41;
