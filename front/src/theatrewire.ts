// What the server says about an operation: the shapes of its answers.
export interface Step {
  key: string;
  title: string;
  words: string;
  pause: boolean;
  asks: string[];
  lines: string[];
  limbs: string[];
  portals: string[];
  parked: [string, string[]][];
  scope: string;
  caution: string;
}
export interface LogLine { seq: number; happened: string; words: string; withdrawn: boolean }
export interface ImplantHere { implant: string; place: string; where: "opened" | "inside" | "wasted" | "removed"; item: string; printed: string; raw: string; expired_reason: string }

export interface Operation {
  seq: number;
  opened: boolean;
  signed: boolean;
  template: string;
  steps: Step[];
  left: string[];
  places: string[];
  kinds: Record<string, string>;
  portals: string[];
  implants: ImplantHere[];
  mishaps: string[];
  looks: string[];
  log: LogLine[];
  limbs: Record<string, string>;
  stock: string | null;
  other_day: string | null;
  anew: { waits: boolean; seq: number; first: string; because: number[]; changes: string[]; words: string; refused: { seq: number; why: string }[]; fresh: { seq: number; change: string }[] } | null;
  limbs_refused?: string;
  happened_to: { anchors: string[]; sutures: string[]; limbs: string[]; portals: string[]; at: Record<string, number> };
  plan_differs: boolean;
}

export interface LabelRead {
  identifier: string;
  lot: string | null;
  serial: string | null;
  expires: string | null;
  raw: string;
  notes: string[];
  shelf: "good" | "expired" | "unknown";
  item: { key: string; kind: string; eyelet_limit: number | null } | null;
  stock: boolean;
}
