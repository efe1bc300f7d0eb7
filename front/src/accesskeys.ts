// The arrow keys as steps on the screen: across (right is above 0) and down.
export type Step = readonly [number, number];

const ARROWS: Record<string, Step> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const NONE: Step = [0, 0];

export const arrow = (key: string): Step => ARROWS[key] ?? NONE;
