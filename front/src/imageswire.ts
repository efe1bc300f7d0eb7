// What the server says about images: the shapes of its answers.
import type { OlderSaid } from "./older";

export type Pixel = [number, number];
export type Triple = [number, number, number];
export interface Plane { position: Triple; row: Triple; column: Triple; row_mm: number; col_mm: number; normal: Triple }
export interface PictureSaid { image: string; frame: number; name: string; place: Plane | null }
export interface SeriesSaid {
  number: number;
  modality: string;
  plane: string;
  edges: Record<"left" | "right" | "top" | "bottom", string>;
  rows: number;
  columns: number;
  aspect: number;
  spacing: [number | null, number | null];
  scale: string;
  scale_words: string;
  step: number | null;
  space: string;
  can_measure: string;
  guides: string[];
  notes: string[];
  side: string[];
  side_fits: boolean;
  pictures: PictureSaid[];
}

export interface MarkSaid { name: string; words: string; place: Pixel; corners: number; optional: boolean }
export interface GuideSaid {
  name: string;
  title: string;
  unit: string;
  view: string;
  modalities: string[];
  marks: MarkSaid[];
  formula: string;
  field: string;
  field_words: string;
  needs_mm: boolean;
  cannot_know: string[];
}

export type Round = Record<string, Pixel[]>;
export interface ScaleSaid {
  kind: "object" | "magnification";
  known: string;
  start?: Pixel;
  end?: Pixel;
  known_mm?: number;
  factor?: number;
  sd?: number;
}

export interface MeasureWish {
  guide: string;
  image: string;
  frame: number;
  rounds: Round[];
  scale: ScaleSaid | null;
  confirmed: boolean;
  fitted: boolean;
}

export interface ReadingSaid {
  title: string;
  value: number;
  sd: number;
  unit: string;
  parts: { words: string; sd: number }[];
  own_sd: number;
  reader_sd: number | null;
  method: string;
  rounds: number;
  plane: string;
  warnings: string[];
  cannot_know: string[];
  assumed: string[];
  field: string;
  fills: string;
  open: boolean;
  answer: string;
}

export interface OutlineSaid {
  outline: Pixel[];
  sd_u: number[];
  sd_v: number[];
  fills: { field: string; value: number; sd: number }[];
  head: { radius: number; sd: number; miss: number };
  cannot_know: string[];
}

export interface Placed { image: string; frame: number; at: Pixel }
export interface Ends { image: string; frame: number; front: Pixel | null; back: Pixel | null }
export interface OutlineWish { head: Placed[]; shaft: Placed; front: Placed; slices: Ends[] }

export interface BoneWish { head: Placed; front: Placed | null }
export interface BoneSaid {
  centre: Triple;
  radius: number;
  sd: number;
  centre_sd: number[];
  partial: boolean;
  miss: number;
  rays: number;
  volume_cm3: number;
  triangles: number;
  shaft: [Triple, Triple] | null;
  incomplete: string[];
  chart: { middle: number; spread: number; widest: number } | null;
  no_chart: string;
  cannot_know: string[];
}

/** A scale as it was kept with a reading. */
export interface ScaleKept { known: string; known_mm: number; start: Pixel; end: Pixel; drawn_px: number; relative_sd: number; scale: { row_mm: number } }

export interface TakenSaid {
  name: string;
  title: string;
  value: number;
  sd: number;
  unit: string;
  fills: string[];
  fields: string[];
  standing: boolean;
  spot: { series: number; index: number } | null;
  rounds: Round[];
  marks: OutlineWish | null;
  outline: OutlineSaid | null;
  scale: ScaleKept | null;
  bone: BoneSaid | null;
  bone_marks: BoneWish | null;
}

export interface ImagesBoard {
  key: string;
  seq: number;
  side: "right" | "left";
  undo: string | null;
  redo: string | null;
  series: SeriesSaid[];
  imports: { id: string; pictures: number; aside: string[]; confirmed: string[] }[];
  asking: ImportSaid | null;
  guides: GuideSaid[];
  drawings: Record<string, Record<string, Pixel[]>>;
  readings: TakenSaid[];
  /** The fields of the case that hold what an accepted reading gave. */
  read: string[];
  older: OlderSaid | null;
}

export interface ImportSaid {
  name: string;
  state: "filling" | "reading" | "asking" | "stripping" | "done" | "refused" | "stopped";
  done: number;
  count: number;
  words: string;
  asks: string[];
  aside: { name: string; reason: string }[];
  notes: string[];
  warnings: string[];
}
