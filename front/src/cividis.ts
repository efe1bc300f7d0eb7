// Cividis (PLoS ONE 2018, doi 10.1371/journal.pone.0199239): even steps of lightness, safe for colour-blind eyes.
// Run from light to dark, as on the print: on paper, darker is more.

const SUPPORT: readonly (readonly [number, number, number])[] = [
  [0x00, 0x22, 0x4e], [0x12, 0x35, 0x70], [0x3b, 0x49, 0x6c], [0x57, 0x5d, 0x6d], [0x70, 0x71, 0x73],
  [0x8a, 0x86, 0x78], [0xa5, 0x9c, 0x74], [0xc3, 0xb3, 0x69], [0xe1, 0xcc, 0x55], [0xfe, 0xe8, 0x38],
];

export function pressureTint(share: number): string {
  return `rgb(${pressureColour(share).map(Math.round).join(" ")})`;
}

/** Red, green and blue from 0 to 255. */
export function pressureColour(share: number): number[] {
  const at = (1 - Math.min(1, Math.max(0, share))) * (SUPPORT.length - 1);
  const low = Math.min(SUPPORT.length - 2, Math.floor(at));
  const [a, b] = [SUPPORT[low]!, SUPPORT[low + 1]!];
  return a.map((value, i) => value + (b[i]! - value) * (at - low));
}
