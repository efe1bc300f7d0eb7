// The record: what is typed, affirmed, signed or added goes to the server, and the page is shown as it then stands.
import { place } from "./draw";
import { freshId } from "./theatreoutbox";
import { ask } from "./wire";

type Body = Record<string, unknown>;

export class Recording {
  private readonly base: string;

  constructor(key: string) {
    this.base = `/api/cases/${key}`;
    for (const form of document.querySelectorAll<HTMLFormElement>(".state-field")) {
      this.on(form, () => {
        const text = form.querySelector("input")!.value;
        return this.entry("record.stated", { field: form.dataset["field"]!, text });
      });
    }
    this.named("affirm", () => this.entry("theatre.affirmed", {
      lines: [...document.querySelectorAll<HTMLInputElement>("#affirm input:checked")].map((box) => box.value),
      person: value("affirm-person"),
    }));
    this.named("icd", () => this.entry("record.coded", { about: "diagnosis", system: "ICD-10-CM", code: value("icd-code") }));
    this.named("own-code", () => this.entry("record.coded", { about: value("own-about"), system: value("own-system"), code: value("own-code-text") }));
    this.named("deviation", () => this.entry("theatre.deviation", this.deviation()));
    this.named("withdraw", () => this.entry("theatre.withdrawn", { seq: Number(value("withdraw-seq")), reason: value("withdraw-reason") }));
    this.named("sign", () => this.send("/record/sign", { person: value("sign-person") }));
    this.named("addendum", () => this.entry("record.addendum", { person: value("addendum-person"), text: value("addendum-text") }));
    document.getElementById("tick-all")?.addEventListener("click", () => {
      for (const box of document.querySelectorAll<HTMLInputElement>("#affirm input[type=checkbox]")) box.checked = true;
    });
    const strength = document.getElementById("strength") as HTMLButtonElement | null;
    strength?.addEventListener("click", () => {
      strength.disabled = true;
      strength.textContent = "Working it out";
      void this.run(() => this.send("/record/strength", {})).finally(() => { strength.disabled = false; });
    });
  }

  private deviation(): Body {
    const u = value("deviation-u").replace(",", "."), v = value("deviation-v").replace(",", ".");
    if ((u === "") !== (v === "") || Number.isNaN(Number(u)) || Number.isNaN(Number(v))) {
      throw new Error("An anchor put elsewhere needs both u and v, in mm.");
    }
    const moved = u === "" ? {} : { u: Number(u), v: Number(v) };
    const left_out = (document.getElementById("deviation-out") as HTMLInputElement).checked;
    return { line: value("deviation-line"), text: value("deviation-text"), reason: value("deviation-reason"), left_out, ...moved };
  }

  private named(id: string, act: () => Promise<unknown>): void {
    const form = document.getElementById(id) as HTMLFormElement | null;
    if (form) this.on(form, act);
  }

  private on(form: HTMLFormElement, act: () => Promise<unknown>): void {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.run(act);
    });
  }

  private async run(act: () => Promise<unknown>): Promise<void> {
    try {
      await act();
      window.location.reload();
    } catch (wrong) {
      place("trouble").textContent = wrong instanceof Error ? wrong.message : "It was not kept.";
      place("trouble").scrollIntoView({ block: "center" });
    }
  }

  private entry(kind: string, entry: Body): Promise<unknown> {
    return this.send("/theatre/entries", { kind, entry });
  }

  private send(path: string, body: Body): Promise<unknown> {
    return ask(this.base + path, { id: freshId(), happened: new Date().toISOString(), ...body });
  }
}

const value = (id: string): string => (document.getElementById(id) as HTMLInputElement).value.trim();
