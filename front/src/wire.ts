// What the server says and how it is asked: the shapes of its answers, one request function, one kind of failure.

import type { OutlineSaid } from "./imageswire";
import type { OlderSaid } from "./older";

export interface Anchor { name: string; row: "medial" | "lateral"; u: number; v: number; z: number; implant: string }
export interface Hole { name: string; u: number; v: number }
export interface Stitch {
  kind: "simple" | "mattress" | "bridge" | "side-to-side" | "transosseous";
  anchor: string;
  holes: string[];
  stage: number;
  knotted: boolean;
  to: string | null;
}
export interface Layout { pattern: string; anchors: Anchor[]; holes: Hole[]; stitches: Stitch[]; edited: boolean }
export interface Interval { middle: number; low: number; high: number; unit: string; share: number }
export type Grade = "good" | "fair" | "poor";

export interface MemberLoad {
  name: string;
  kind: "limb" | "hole" | "anchor";
  tied: number;
  loaded: Interval | null;
  capacity: number;
  first_share: number;
}

export interface Contact {
  force: number;
  mean: number;
  peak: number;
  thresholds: number[];
  area_shares: number[];
  threshold: number;
  area_share: number;
  window_area: number;
  lifted_share: number;
  clipped_share: number;
  area_interval: Interval | null;
}

export interface Scenario {
  tissue: Grade;
  bone: Grade;
  ultimate: Interval;
  ultimate_contested: number | null;
  ultimate_no_scatter: number;
  gap: Interval | null;
  gap_load: number;
  reached_share: number;
  stiffness: Interval | null;
  weakest: string;
  members: MemberLoad[];
  failure_shares: [string, number][];
  gap_curve: [number, number][];
  settled: boolean;
}

export interface Caution { code: string; text: string; where: string; severity: "note" | "caution" | "stop"; fact: string }
export interface PressureMap { u: number[]; v: number[]; pressure: number[][] }
export interface Strip { front: number; width: number; edge: number; thickness: number }

export interface ArmLoad { abduction_degrees: number; rotation_degrees: number; tension: Interval }
export interface Body {
  tissue: Grade;
  bone: Grade;
  reduction: { torn_at: number } | null;
  arms: ArmLoad[];
  sentences: [string, string][];
}

export interface Hold {
  layout: Layout;
  strip: Strip;
  scenarios: Scenario[];
  contact: Contact;
  contact_loaded: Contact | null;
  pressure: PressureMap;
  cautions: Caution[];
  verdict: string;
  body?: Body | null;
  verdict_parts?: [string, string][];
  missing: string[];
  draws: number;
  edition: string;
  input_hash: string;
}

export interface Feature { name: string; kind: "line" | "area"; points: [number, number][] }

export interface Chart {
  rightwards: 1 | -1;
  edges: { left: string; right: string; top: string; bottom: string };
  terrain: Feature[];
  groove: number;
  back: number;
  strip: Strip;
  retraction: number | null;
  missing: [number, number][];
  spacing: number | null;
}

export interface Measured { value: number; sd: number; origin: string; trace?: string }

/** The tear as a case file holds it; what is unknown is left out. */
export interface TearShown { width_mm: Measured; front_mm?: Measured; retraction_mm?: Measured; missing_tissue?: [number, number][] }

export interface Board {
  key: string;
  tear: TearShown;
  seq: number;
  identity: { side: "right" | "left"; side_words: string };
  layout: Layout | null;
  implants: string[];
  shelf: { name: string; layout: Layout }[];
  undo: string | null;
  redo: string | null;
  refused: string | null;
  older: OlderSaid | null;
  labels: Record<string, string>;
  chart: Chart | null;
  hold: Hold | null;
  outline: OutlineSaid | null;
}

export interface PatternShown { name: string; title: string; layout: Layout | null; refused: string | null }

export interface FactShown {
  key: string;
  value: number;
  unit: string;
  low: number | null;
  high: number | null;
  sd: number | null;
  source: { citation: string; year: number | null; url: string };
  where: string;
  provenance: string;
  note: string;
}

/** The server refused, in its own words; ``board`` is there when the case had moved on. */
export class Refused extends Error {
  constructor(readonly status: number, sentence: string, readonly board: Board | null) {
    super(sentence);
  }
}

/** The server did not answer at all. */
export class Silent extends Error {}

export async function ask<T>(path: string, body?: unknown): Promise<T> {
  const request: RequestInit = body === undefined
    ? {}
    : { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) };
  let response: Response;
  let answer: { error?: string; board?: Board };
  try {
    response = await fetch(path, request);
    answer = await response.json();
  } catch {
    throw new Silent("The server does not answer.");
  }
  if (!response.ok) {
    throw new Refused(response.status, answer.error ?? "the server refused without a reason", answer.board ?? null);
  }
  return answer as T;
}
