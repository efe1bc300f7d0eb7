// Iso-lines of a grid by marching squares, joined into closed loops. The grid is framed with a low rim, so that
// every region above a level is closed and can be filled with the even-odd rule.

export type Point = readonly [number, number];

export interface Grid { x: readonly number[]; y: readonly number[]; value: readonly (readonly number[])[] }

type Edge = string;

/** Closed loops around everything at or above ``level``. */
export function loops(grid: Grid, level: number): Point[][] {
  const framed = frame(grid);
  const from = new Map<Edge, Edge>();
  const at = new Map<Edge, Point>();
  for (let row = 0; row + 1 < framed.y.length; row++) {
    for (let column = 0; column + 1 < framed.x.length; column++) cell(framed, row, column, level, from, at);
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

function cell(grid: Grid, row: number, column: number, level: number, from: Map<Edge, Edge>, at: Map<Edge, Point>): void {
  const corner = (r: number, c: number): number => grid.value[r]![c]!;
  const [a, b] = [corner(row, column), corner(row, column + 1)];
  const [d, c] = [corner(row + 1, column), corner(row + 1, column + 1)];
  const code = (a >= level ? 1 : 0) | (b >= level ? 2 : 0) | (c >= level ? 4 : 0) | (d >= level ? 8 : 0);
  if (code === 0 || code === 15) return;
  const part = (low: number, high: number): number => (low <= -1e8 || high <= -1e8 ? (low < high ? 1 : 0) : (level - low) / (high - low));
  const [x0, x1] = [grid.x[column]!, grid.x[column + 1]!];
  const [y0, y1] = [grid.y[row]!, grid.y[row + 1]!];
  const top = `h${row},${column}`;
  const bottom = `h${row + 1},${column}`;
  const left = `v${row},${column}`;
  const right = `v${row},${column + 1}`;
  at.set(top, [x0 + (x1 - x0) * part(a, b), y0]);
  at.set(bottom, [x0 + (x1 - x0) * part(d, c), y1]);
  at.set(left, [x0, y0 + (y1 - y0) * part(a, d)]);
  at.set(right, [x1, y0 + (y1 - y0) * part(b, c)]);
  const run = (start: Edge, end: Edge): void => void from.set(start, end);
  const middle = (a + b + c + d) / 4 >= level;
  switch (code) {
    case 1: run(left, top); break;
    case 2: run(top, right); break;
    case 3: run(left, right); break;
    case 4: run(right, bottom); break;
    case 5: if (middle) { run(left, bottom); run(right, top); } else { run(left, top); run(right, bottom); } break;
    case 6: run(top, bottom); break;
    case 7: run(left, bottom); break;
    case 8: run(bottom, left); break;
    case 9: run(bottom, top); break;
    case 10: if (middle) { run(top, left); run(bottom, right); } else { run(top, right); run(bottom, left); } break;
    case 11: run(bottom, right); break;
    case 12: run(right, left); break;
    case 13: run(right, top); break;
    case 14: run(top, left); break;
  }
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
