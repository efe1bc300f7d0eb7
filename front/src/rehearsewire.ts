// What the server says about limbs: the shapes of its answers.
import type { ShoulderShown, Triple, Verdict } from "./accesswire";

export type Spot = [number, number];
export type Stage = "outside" | "unpassed" | "passed" | "knotted" | "fixed" | "cut" | "removed";
export type MoveKind = "insert" | "test" | "retrieve" | "pass" | "penetrate" | "tie" | "cut" | "scope" | "seat" | "unpass" | "cannula";

export interface Thread { words: string; hue: string; dark: string; pattern: string }

export interface Move {
  kind: MoveKind;
  limbs: string[];
  source: string;
  to: string;
  anchor: string;
  under: string[];
  grab: "at the source" | "mid-strand";
  held: boolean;
  compartment: "joint" | "subacromial";
}

export interface Mishap { kind: string; name: string; answer: string; at: number | null; limb: string }
export interface RehearsalEvent { move?: Move; mishap?: Mishap }

export interface LimbPortal { name: string; code: string; at: Spot; capacity: number; cannula: boolean; open: boolean; views: boolean }
export interface Suture { name: string; carrier: string; limbs: [string, string]; ending: string; thread: Thread }
export interface Limb { name: string; suture: string; sources: Record<"unpassed" | "passed" | "knotted", Spot>; holed: boolean }

export interface Field {
  anterior: "left" | "right";
  portals: LimbPortal[];
  carriers: { name: string; kind: string; at: Spot }[];
  seats: { name: string; at: Spot; load: number }[];
  sutures: Suture[];
  limbs: Limb[];
  grasp: number;
  holes_at: number;
}

export interface State {
  limbs: [Stage, string][];
  scope: string;
  compartment: string;
  cannulas: string[];
  over: [string, string][];
  suspect: [string, string][];
  untested: string[];
  grasper: string;
}

export interface Step { number: number; phase: string; words: string; move: Move; looks: string[]; arm: string; caution: string }

export interface Plan {
  steps: Step[];
  states: State[];
  verdict: Verdict;
  moves: number;
  cautions: string[];
  ties: [number, string, string][];
}

/** A point of a rehearsal. */
export interface Point {
  done: number;
  about: string;
  portals: string;
  sets: string[];
  field: Field;
  plan: Plan | null;
  state: State;
  refused: string;
  changes: string[];
}

export interface Finding { rule: string; severity: "illegal" | "risk" | "note"; text: string; remedy: string; limbs: string[] }
export interface Judged { findings: Finding[]; words: string; made: Point | null; longer: number | null }

/** The usual order beside the plan: usual and planned counts, differences with their reasons, its moves in words. */
export interface Usual {
  not_computed: string;
  counts: [string, number, number][];
  differences: [string, number, number, string][];
  steps: string[];
}

export interface LimbScene {
  shoulder: ShoulderShown;
  arm: { turn: number[]; head: Triple };
  pose_words: string;
  sites: Record<string, Triple>;
  portals: Record<string, Triple>;
}


/** Limbs that hang out of a portal, in the field's order. */
export function hanging(field: Field, state: State, portal: string): string[] {
  return field.limbs.filter((_, i) => lives(state.limbs[i]) && state.limbs[i]?.[1] === portal).map((one) => one.name);
}

export function lives(limb: [Stage, string] | undefined): boolean {
  return limb !== undefined && ["unpassed", "passed", "knotted"].includes(limb[0]);
}

export function whereIs(field: Field, state: State, limb: string): string {
  const found = state.limbs[field.limbs.findIndex((one) => one.name === limb)];
  return lives(found) ? found![1] : "";
}
