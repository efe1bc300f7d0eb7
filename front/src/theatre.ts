// Theatre: the present step, huge; what comes next; what happened; all of it kept here first and sent when it can be.
import { html, place } from "./draw";
import { Anew } from "./theatreanew";
import { showBays } from "./theatrebays";
import { HappenedForm, type Happened } from "./theatrehappened";
import { Implants } from "./theatreimplant";
import { Outbox } from "./theatreoutbox";
import { Strength } from "./theatrestrength";
import type { Operation, Step } from "./theatrewire";
import { Pedal } from "./theatrepedal";
import { keepPage, keepView, keptView } from "./theatrekept";
import { ask, Silent } from "./wire";

const NEXT = 3;
const PANELS = [["happened", "something"], ["implant", "scan"], ["pedalling", "pedal"]] as const;
const TYPED = new Set(["INPUT", "TEXTAREA", "SELECT"]);

export class Theatre {
  private readonly base: string;
  private readonly outbox: Outbox;
  private readonly implants: Implants;
  private readonly strength: Strength;
  private readonly anew: Anew;
  private readonly happened: HappenedForm;
  private operation: Operation | null = null;
  private at = 0;
  private pedal: Pedal | null = null;

  constructor(private readonly key: string) {
    this.base = `/api/cases/${key}`;
    this.outbox = new Outbox(key, (answer) => this.take(answer as Operation), () => this.showLog());
    this.implants = new Implants(this.base, this.outbox);
    this.strength = new Strength(this.base);
    this.anew = new Anew(this.base, this.outbox, (step) => this.go(step));
    this.happened = new HappenedForm((entry) => this.befell(entry));
    this.listen();
    void keepPage(key);
    window.setInterval(() => this.tick(), 1000);
    void ask<Operation>(`${this.base}/theatre`).then((found) => this.begin(found), (wrong: unknown) => {
      const last = wrong instanceof Silent ? keptView(key) : null;
      if (last) this.begin(last);
      else place("trouble").textContent = wrong instanceof Error ? wrong.message : "Theatre cannot be shown.";
    });
  }

  private begin(found: Operation): void {
    const kept = new Set(found.left);
    for (const one of this.outbox.list) {
      const { kind, entry } = one.body as { kind?: string; entry?: { step?: string } };
      if (kind === "theatre.step-left" && entry?.step) kept.add(entry.step);
    }
    const first = found.steps.findIndex((step) => !kept.has(step.key));
    this.at = first < 0 ? Math.max(found.steps.length - 1, 0) : first;
    this.take(found, true);
  }

  private take(found: Operation, begun = false): void {
    const here = this.step()?.key;
    this.operation = found;
    if (!begun && here !== undefined && this.step()?.key !== here) this.at = whereNow(found, here, this.at);
    keepView(this.key, found);
    place("opening").hidden = found.opened;
    place("work").hidden = !found.opened;
    const inside = found.implants.filter((one) => one.where === "inside").length;
    place("verdict").textContent = found.opened
      ? `Identity and side confirmed. ${found.left.length} of ${found.steps.length} steps are behind, ${inside} ${inside === 1 ? "implant" : "implants"} inside.${found.other_day ? ` The operation was planned for ${found.other_day}.` : ""}`
      : "Theatre is not open: every step is a plan.";
    this.strength.show(found.log);
    if (!found.opened) return;
    this.happened.show(found);
    this.implants.show(found);
    this.tick();
    place("replan").hidden = !found.plan_differs || found.signed;
    this.showStep();
    this.showLog();
    this.anew.show(found, begun);
  }

  private go(step: string): void {
    const at = this.operation?.steps.findIndex((one) => one.key === step) ?? -1;
    if (at < 0) return;
    this.at = at;
    this.showStep();
    place("step-title").focus();
  }

  private step(): Step | undefined {
    return this.operation?.steps[this.at];
  }

  private showStep(): void {
    const step = this.step(), all = this.operation?.steps ?? [];
    if (!step) return;
    place("step-title").textContent = step.title;
    place("step-words").textContent = step.words;
    place("step-caution").textContent = step.caution;
    place("place-in").textContent = `step ${this.at + 1} of ${all.length}`;
    place("signed-note").textContent = this.operation?.signed ? "record signed and locked" : "";
    (place("back") as HTMLButtonElement).disabled = this.at === 0;
    const name = step.key;
    if (place("asks").dataset["step"] !== name) {
      place("asks").dataset["step"] = name;
      place("asks").replaceChildren(...step.asks.map((field) => this.asking(field)));
    }
    const coming = all.slice(this.at + 1, this.at + 1 + NEXT);
    const rows = coming.map((next) => html("li", {}, next.title, html("small", {}, next.words)));
    place("next").replaceChildren(...(rows.length ? rows : [html("li", {}, "Nothing more")]));
    if (this.operation) showBays(this.operation, step);
  }

  private asking(field: string): HTMLElement {
    const measure = field.startsWith("tear.");
    const words = measure ? field.replace("tear.", "").replace("_mm", ", mm").replaceAll("_", " ") : field;
    const input = html("input", { maxlength: measure ? 8 : 2000, autocomplete: "off", inputmode: measure ? "decimal" : null });
    const form = html("form", {}, html("label", {}, words, input), html("button", { type: "submit" }, "Keep", html("span", { class: "unseen" }, ` ${words}`)));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const text = input.value.trim();
      const value = Number(text.replace(",", "."));
      if (!text || (measure && !(value > 0))) return input.focus();
      if (measure) this.enter("theatre.remeasured", { field, value, unit: "mm", instrument: "probe" }, `${words}: ${text}`);
      else if (this.operation?.looks.includes(field)) this.enter("theatre.finding", { about: field, text }, `${field}: ${text}`);
      else this.enter("record.stated", { field, text }, `${field}: ${text}`);
      input.value = "";
    });
    return form;
  }

  private showLog(): void {
    const box = place("outbox"), open = this.outbox.list;
    const refused = open.filter((one) => one.refused !== undefined);
    const silent = this.outbox.silent ? "The server does not answer. " : "";
    const waiting = open.length - refused.length;
    const stale = open.some((one) => one.refused === undefined && (one.body as { kind?: string }).kind === "theatre.mishap") && this.operation?.anew;
    place("stale").textContent = stale ? "Something happened and is not kept yet: these are still the steps of the earlier plan. The limbs are planned anew when the server answers." : "";
    box.className = open.length || silent ? "waiting" : "";
    box.textContent = waiting || silent ? `${silent}${waiting} entries wait in this browser; go on.` : refused.length ? "An entry was refused." : "Every entry is kept.";
    const mine = [...open].reverse().map((one) => {
      const line = html("li", {}, html("time", {}, clock(one.happened)), one.refused ? `refused: ${one.words}. ${one.refused} ` : `waiting: ${one.words}`);
      if (one.refused === undefined) return line;
      const away = html("button", { type: "button" }, "Put away");
      away.addEventListener("click", () => this.outbox.drop(one.id));
      line.append(away);
      return line;
    });
    const kept = [...(this.operation?.log ?? [])].reverse().map((line) =>
      html("li", { class: line.withdrawn ? "void" : null }, html("time", {}, clock(line.happened)), line.words, line.withdrawn ? " (withdrawn)" : ""));
    place("log").replaceChildren(...mine, ...kept);
  }

  private enter(kind: string, entry: Record<string, unknown>, words: string): void {
    this.outbox.add(`${this.base}/theatre/entries`, { kind, entry }, words);
    place("said").textContent = words;
  }

  private leave(): void {
    const step = this.step(), all = this.operation?.steps ?? [];
    if (!step || this.operation?.signed) return;
    this.enter("theatre.step-left", { step: step.key }, `step left: ${step.title}`);
    this.at = Math.min(this.at + 1, all.length - 1);
    this.showStep();
    place("step-title").focus();
  }

  private back(): void {
    this.at = Math.max(this.at - 1, 0);
    this.showStep();
  }

  private listen(): void {
    place("leave").addEventListener("click", () => this.leave());
    place("back").addEventListener("click", () => this.back());
    place("something").addEventListener("click", () => this.toggle("happened", "something"));
    place("scan").addEventListener("click", () => this.toggle("implant", "scan"));
    place("full").addEventListener("click", () => this.fullScreen());
    (place("opening") as HTMLFormElement).addEventListener("submit", (event) => {
      event.preventDefault();
      void this.open();
    });
    (place("replan") as HTMLFormElement).addEventListener("submit", (event) => {
      event.preventDefault();
      const reason = value("replan-reason");
      if (!reason) return place("replan-reason").focus();
      this.outbox.add(`${this.base}/theatre/replan`, { reason }, `planned anew: ${reason}`);
      (place("replan-reason") as HTMLInputElement).value = "";
    });
    this.pedal = new Pedal(() => this.leave(), () => this.back(), (field, text) => this.enter("record.stated", { field, text }, `${field}: ${text}`));
    place("pedal").addEventListener("click", () => { if (!this.pedal?.off()) this.toggle("pedalling", "pedal"); });
    (place("pedalling") as HTMLFormElement).addEventListener("submit", (event) => {
      event.preventDefault();
      if (this.pedal?.on(value("pedal-person"))) this.toggle("pedalling", "pedal");
    });
    document.addEventListener("keydown", (event) => this.press(event));
  }

  private befell(entry: Happened): void {
    this.enter("theatre.mishap", { ...entry }, `something happened: ${entry.kind} ${entry.name}`.trim());
    this.toggle("happened", "something");
    place("step-title").focus();
  }

  private press(event: KeyboardEvent): void {
    if (event.key === "Escape") for (const [id, by] of PANELS) { place(id).hidden = true; place(by).setAttribute("aria-expanded", "false"); }
    if (this.operation?.opened && this.pedal?.press(event)) return;
    if (event.ctrlKey || event.metaKey || event.altKey || TYPED.has((event.target as Element).tagName)) return;
    const acts: Record<string, () => void> = {
      ArrowRight: () => this.leave(), ArrowLeft: () => this.back(), f: () => this.fullScreen(),
      h: () => this.toggle("happened", "something"), i: () => this.toggle("implant", "scan"),
    };
    const act = acts[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!act || !this.operation?.opened || event.repeat) return;
    event.preventDefault();
    act();
  }

  private async open(): Promise<void> {
    const side = document.querySelector<HTMLInputElement>("#opening input[name=side]:checked")?.value;
    const body = { id: crypto.randomUUID(), happened: new Date().toISOString(), patient: value("open-patient"), side, person: value("open-person") };
    try {
      this.begin(await ask<Operation>(`${this.base}/theatre/open`, body));
      place("step-title").focus();
    } catch (wrong) {
      place("open-wrong").textContent = wrong instanceof Error ? wrong.message : "Theatre was not opened.";
    }
  }

  private toggle(panel: string, button: string): void {
    const shown = place(panel).hidden;
    for (const [id, by] of PANELS) {
      place(id).hidden = !(shown && id === panel);
      place(by).setAttribute("aria-expanded", String(shown && by === button));
    }
    if (shown) place(panel).querySelector<HTMLElement>("select, textarea, input")?.focus();
  }

  private fullScreen(): void {
    if (document.fullscreenElement) void document.exitFullscreen();
    else void document.documentElement.requestFullscreen().catch(() => undefined);
  }

  private tick(): void {
    const begun = this.operation?.log.find((line) => line.words.startsWith("identity"));
    const now = new Date();
    const minutes = begun ? Math.max(0, Math.floor((now.getTime() - Date.parse(begun.happened)) / 60_000)) : 0;
    place("clock").textContent = begun ? `${clock(now.toISOString())}, ${minutes} min since theatre was opened` : "";
  }
}

/** The step to look at when the steps changed: the same one, or the first that is not left. */
function whereNow(found: Operation, here: string, at: number): number {
  const same = found.steps.findIndex((step) => step.key === here);
  if (same >= 0) return same;
  const left = new Set(found.left), open = found.steps.findIndex((step) => !left.has(step.key));
  return open < 0 ? Math.min(at, found.steps.length - 1) : open;
}

const value = (id: string): string => (place(id) as HTMLInputElement).value.trim();

function clock(moment: string): string {
  return new Date(moment).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}
