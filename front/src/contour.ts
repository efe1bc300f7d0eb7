// Iso-lines of a grid by marching squares, joined into closed loops. The grid is framed with a low rim, so that
// every region above a level is closed and can be filled with the even-odd rule.

export type Point = readonly [number, number];

export interface Grid { x: readonly number[]; y: readonly number[]; value: readonly (readonly number[])[] }

/** The place of an edge of a cell: twice its row and column in one number, odd for the edge that runs down. */
type Edge = number;

const framed = new WeakMap<object, Grid>();

/** Closed loops around everything at or above ``level``. */
export function loops(grid: Grid, level: number): Point[][] {
  const wide = framed.get(grid.value) ?? frame(grid);
  framed.set(grid.value, wide);
  const from = new Map<Edge, Edge>();
  const at = new Map<Edge, Point>();
  const columns = wide.x.length;
  for (let row = 0; row + 1 < wide.y.length; row++) {
    const [upper, lower] = [wide.value[row]!, wide.value[row + 1]!];
    let [left, under] = [upper[0]! >= level, lower[0]! >= level];
    for (let column = 0; column + 1 < columns; column++) {
      const [right, below] = [upper[column + 1]! >= level, lower[column + 1]! >= level];
      if (left !== right || left !== under || left !== below) cell(wide, row, column, level, from, at);
      [left, under] = [right, below];
    }
  }
  return join(from, at);
}

function frame(grid: Grid): Grid {
  const rim = (axis: readonly number[]): number[] => {
    const [first, last] = [axis[0]!, axis[axis.length - 1]!];
    return [first - 1e-6, ...axis, last + 1e-6];
  };
  const low = -1e9;
  const width = grid.x.length + 2;
  const empty = new Array<number>(width).fill(low);
  return { x: rim(grid.x), y: rim(grid.y), value: [empty, ...grid.value.map((r) => [low, ...r, low]), empty] };
}

/** The edges of a cell that a line enters by and leaves by, for each way its corners lie above the level. */
const [TOP, RIGHT, BOTTOM, LEFT] = [0, 1, 2, 3];
const RUNS: readonly (readonly [number, number][])[] = [
  [], [[LEFT, TOP]], [[TOP, RIGHT]], [[LEFT, RIGHT]], [[RIGHT, BOTTOM]], [], [[TOP, BOTTOM]], [[LEFT, BOTTOM]],
  [[BOTTOM, LEFT]], [[BOTTOM, TOP]], [], [[BOTTOM, RIGHT]], [[RIGHT, LEFT]], [[RIGHT, TOP]], [[TOP, LEFT]], [],
];
const SADDLES: Record<number, [(readonly [number, number])[], (readonly [number, number])[]]> = {
  5: [[[LEFT, BOTTOM], [RIGHT, TOP]], [[LEFT, TOP], [RIGHT, BOTTOM]]],
  10: [[[TOP, LEFT], [BOTTOM, RIGHT]], [[TOP, RIGHT], [BOTTOM, LEFT]]],
};

function cell(grid: Grid, row: number, column: number, level: number, from: Map<Edge, Edge>, at: Map<Edge, Point>): void {
  const [upper, lower] = [grid.value[row]!, grid.value[row + 1]!];
  const [a, b, c, d] = [upper[column]!, upper[column + 1]!, lower[column + 1]!, lower[column]!];
  const code = (a >= level ? 1 : 0) | (b >= level ? 2 : 0) | (c >= level ? 4 : 0) | (d >= level ? 8 : 0);
  const columns = grid.x.length;
  const edge = (side: number): Edge => {
    const place = 2 * (side === BOTTOM ? (row + 1) * columns + column : row * columns + column + (side === RIGHT ? 1 : 0)) + (side === LEFT || side === RIGHT ? 1 : 0);
    if (!at.has(place)) at.set(place, spot(side));
    return place;
  };
  const [x0, x1] = [grid.x[column]!, grid.x[column + 1]!];
  const [y0, y1] = [grid.y[row]!, grid.y[row + 1]!];
  const spot = (side: number): Point =>
    side === TOP ? [x0 + (x1 - x0) * part(a, b, level), y0] : side === BOTTOM ? [x0 + (x1 - x0) * part(d, c, level), y1]
      : side === LEFT ? [x0, y0 + (y1 - y0) * part(a, d, level)] : [x1, y0 + (y1 - y0) * part(b, c, level)];
  const saddle = SADDLES[code];
  const runs = saddle ? saddle[(a + b + c + d) / 4 >= level ? 0 : 1] : RUNS[code]!;
  for (const [start, end] of runs) from.set(edge(start), edge(end));
}

/** How far along an edge the level lies; on the rim all the way to the grid. */
function part(low: number, high: number, level: number): number {
  return low <= -1e8 || high <= -1e8 ? (low < high ? 1 : 0) : (level - low) / (high - low);
}

function join(from: Map<Edge, Edge>, at: Map<Edge, Point>): Point[][] {
  const found: Point[][] = [];
  while (from.size) {
    const loop: Point[] = [];
    let edge: Edge | undefined = from.keys().next().value;
    while (edge !== undefined && from.has(edge)) {
      loop.push(at.get(edge)!);
      const next: Edge = from.get(edge)!;
      from.delete(edge);
      edge = next;
    }
    if (loop.length > 2) found.push(loop);
  }
  return found;
}
