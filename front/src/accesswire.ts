// What the server says about Access: the shapes of its answers.
import type { Caution, Interval } from "./wire";

export type Triple = [number, number, number];
export type Lie = "beach chair" | "lateral decubitus";
export type Verdict = [string, string][];

export interface Pose {
  abduction_degrees: number;
  flexion_degrees: number;
  rotation_degrees: number;
  traction_kg: number;
  place: Lie;
}

export interface PortalPlace {
  name: string;
  along: number | null;
  down: number;
  beside: number;
  medial: number;
  behind: number;
  error: number;
  fixed: boolean;
}

export type LeverName = "along" | "down" | "beside" | "medial" | "behind";
export interface Lever { name: LeverName; per_mm: number; way: Triple }
export interface Marked { words: string; cm: number; sets: LeverName | ""; per_cm: number }

export interface Portal {
  name: string;
  place: PortalPlace;
  own: boolean;
  default: PortalPlace;
  skin: Triple;
  marking: Marked[];
  confirm: string;
  verified: boolean;
  levers: Lever[];
}

export type Reached = "yes" | "moved" | "no";
export interface Cell {
  site: string;
  kind: "medial anchor" | "hole" | "lateral anchor";
  portal: string;
  answer: Reached;
  pose: Pose;
  pose_words: string;
  angle: number;
  length: number;
  room: number | null;
  probability: number | null;
  reason: string;
  means: string;
}

export interface Site { name: string; kind: Cell["kind"]; point: Triple; diameter: number }
export interface ScopeOrder { portal: string; tilt: 0 | 1; compartment: "subacromial" | "joint" }
export interface Scope extends ScopeOrder {
  tilts: number[];
  skin: Triple;
  tip: Triple;
  ahead: Triple;
  half_field: number;
  radius: number;
  stopped: string;
  seen: string[];
  unseen: string[];
}

/** An arm position, and perhaps a moved portal, to look at without keeping them. */
export interface Wish { pose: Pose; portal: PortalPlace | null; scope: ScopeOrder }

export interface Nerves {
  axillary: { curve: Triple[]; floor: Triple[]; radius: number };
  spots: { nerve: string; where: string; at: Triple; radius: number }[];
}

export interface Live {
  pose: Pose;
  pose_words: string;
  trunk_degrees: number;
  arm: { turn: number[]; head: Triple };
  sites: Site[];
  portals: Portal[];
  cells: Cell[];
  hidden: { share: number; sites: string[] };
  nerves: Nerves;
  scope: Scope;
  moves: { pose: Pose; pose_words: string; sites: string[] }[];
  unreached: string[];
  verdict: Verdict;
}

export interface Margin { portal: string; nerve: string; margin: Interval; fifth: number; floor: number }
export interface Better { portal: string; place: PortalPlace; before: number; after: number; marking: [string, number][] }

export interface Drawn {
  pose: Pose;
  cells: Cell[];
  margins: Margin[];
  beds: { first: string; second: string; bridge: number; clear: boolean }[];
  better: Better[];
  moves: { pose: Pose; pose_words: string; steps: [string, string][] }[];
  unreached: string[];
  cautions: Caution[];
  spread: [string, number][];
  draws: number;
  verdict: Verdict;
}

export interface AccessBoard {
  key: string;
  seq: number;
  side: "right" | "left";
  undo: string | null;
  redo: string | null;
  lacking: string[];
  sentence: string;
  refused: string | null;
  live: Live | null;
  answer: Drawn | null;
  usual: Record<Lie, Pose>;
  range: { abduction: number; rotation: number };
}

export interface MeshShown { points: number[]; triangles: number[] }
export interface ShoulderShown {
  side: "right" | "left";
  arm: Record<"cartilage" | "head" | "tuberosity" | "footprint" | "shaft", MeshShown>;
  blocks: (MeshShown & { name: string })[];
  rods: { name: string; ends: [Triple, Triple]; radius: number }[];
  skin: MeshShown;
  outline: Triple[];
  edge: Triple[];
  landmarks: Record<string, Triple>;
  body: number[];
  head: Triple;
}

/** The body's directions in the frame of the scapula: forward, up, and away from the middle. */
export function bodyWays(shown: ShoulderShown): { forward: Triple; up: Triple; lateral: Triple } {
  const column = (n: 0 | 1 | 2, sign = 1): Triple => [0, 1, 2].map((row) => sign * shown.body[3 * row + n]!) as Triple;
  return { forward: column(0), up: column(1), lateral: column(2, shown.side === "right" ? 1 : -1) };
}
