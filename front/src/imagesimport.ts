// Import: files chosen or dragged go to the server one by one; it reads, compares, asks, strips. It can be stopped.
import { html } from "./draw";
import { ask } from "./wire";
import { Refused, Silent } from "./wire";
import type { ImportSaid } from "./imageswire";

const AT_ONCE = 3;
const LOOK_MS = 250;
const ENDED = ["done", "refused", "stopped"];

interface Handed { file: File; name: string }

export class Importing {
  private readonly told = html("div", { class: "import-told", "aria-live": "polite" });
  private readonly bar = html("progress", { hidden: true, "aria-label": "import" });
  private readonly stop = html("button", { type: "button", hidden: true }, "Stop");
  private current: { name: string; away: AbortController } | null = null;

  constructor(holder: HTMLElement, private readonly key: string, private readonly done: (said: ImportSaid) => void) {
    const folder = this.chooser("folder", "Choose a folder", { webkitdirectory: true, multiple: true });
    const files = this.chooser("files", "Choose files or a zip file", { multiple: true });
    const drop = html("div", { class: "drop" },
      html("p", {}, "Drag a folder, a zip file or images here."), html("div", { class: "choosers" }, ...folder, ...files));
    for (const kind of ["dragover", "dragenter"]) drop.addEventListener(kind, (event) => {
      event.preventDefault();
      drop.classList.add("over");
    });
    drop.addEventListener("dragleave", () => drop.classList.remove("over"));
    drop.addEventListener("drop", (event) => {
      event.preventDefault();
      drop.classList.remove("over");
      void dropped(event.dataTransfer!).then((handed) => this.take(handed));
    });
    this.stop.addEventListener("click", () => void this.halt());
    holder.replaceChildren(html("h2", {}, "Take images in"), drop, this.bar, this.stop, this.told);
  }

  /** Take up an import that waits for answers since before the page was opened. */
  resume(said: ImportSaid): void {
    this.current = { name: said.name, away: new AbortController() };
    this.show(true);
    this.question(said);
  }

  private chooser(id: string, words: string, more: Record<string, boolean>): HTMLElement[] {
    const input = html("input", { type: "file", id: `import-${id}`, class: "unseen", ...more });
    input.addEventListener("change", () => {
      const handed = [...(input.files ?? [])].map((file) => ({ file, name: file.webkitRelativePath || file.name }));
      input.value = "";
      void this.take(handed);
    });
    return [input, html("label", { for: `import-${id}`, class: "button" }, words)];
  }

  private path(name: string, more = ""): string {
    return `/api/cases/${this.key}/images/imports${name ? `/${name}` : ""}${more}`;
  }

  private async take(handed: Handed[]): Promise<void> {
    if (!handed.length || this.current) return;
    const away = new AbortController();
    try {
      const { name } = await ask<ImportSaid>(this.path(""), {});
      this.current = { name, away };
      this.show(true);
      await this.send(name, handed, away);
      await ask<ImportSaid>(this.path(name, "/read"), {});
      await this.watch(name);
    } catch (wrong) {
      if (!away.signal.aborted) this.say(wrong instanceof Error ? wrong.message : String(wrong));
      this.show(false);
    }
  }

  private async send(name: string, handed: Handed[], away: AbortController): Promise<void> {
    let sent = 0;
    const left = [...handed];
    const next = async (): Promise<void> => {
      for (let one = left.shift(); one; one = left.shift()) {
        await lay(this.path(name, "/files"), one, away.signal);
        this.progress(++sent, handed.length, "handed over");
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, next));
  }

  private async watch(name: string): Promise<void> {
    for (;;) {
      const said = await ask<ImportSaid>(this.path(name));
      if (said.state === "asking") return this.question(said);
      if (ENDED.includes(said.state)) return this.ended(said);
      this.progress(said.done, said.count, said.state === "reading" ? "read" : "stripped of names and kept");
      await new Promise((soon) => setTimeout(soon, LOOK_MS));
    }
  }

  private question(said: ImportSaid): void {
    this.bar.hidden = true;
    const boxes = said.asks.map((words, i) => html("input", { type: "checkbox", id: `ask-${i}`, value: words }));
    const marker = html("select", { id: "marker" }, ...["", "right", "left"].map((side) => html("option", { value: side }, side || "none seen")));
    const keep = html("input", { type: "checkbox", id: "keep-more" });
    const link = html("input", { type: "checkbox", id: "keep-link" });
    const go = html("button", { type: "submit" }, "Strip the names and keep the pictures");
    const form = html("form", { class: "import-asks" },
      html("h3", {}, said.asks.length ? "The files do not say everything" : "Patient and side fit the case"),
      ...boxes.map((box, i) => html("div", { class: "check" }, box, html("label", { for: box.id }, said.asks[i]!))),
      html("div", { class: "check" }, html("label", { for: "marker" }, "Side marker burned into a picture"), marker),
      html("p", { class: "note" }, "Names, dates, identifiers and private elements are removed by the standard's basic profile before anything is kept. Text burned into pixels is not."),
      html("div", { class: "check" }, keep, html("label", { for: "keep-more" }, "Keep sex, age, size and weight")),
      html("div", { class: "check" }, link, html("label", { for: "keep-link" }, "Keep a link back to the hospital's study, locked with the case")),
      go);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const answers = {
        confirmed: boxes.filter((box) => box.checked).map((box) => box.value), marker: marker.value || null,
        keep_characteristics: keep.checked, keep_link: link.checked,
      };
      void this.answer(said, answers, form);
    });
    this.told.replaceChildren(form, ...aside(said));
    (form.querySelector("input, button") as HTMLElement).focus();
  }

  private async answer(said: ImportSaid, answers: object, form: HTMLElement): Promise<void> {
    form.querySelector(".wrong")?.remove();
    try {
      await ask<ImportSaid>(this.path(said.name, "/answer"), answers);
      this.told.replaceChildren();
      await this.watch(said.name);
    } catch (wrong) {
      form.append(html("p", { class: "wrong", role: "alert" }, wrong instanceof Error ? wrong.message : String(wrong)));
    }
  }

  private ended(said: ImportSaid): void {
    this.show(false);
    this.told.replaceChildren(
      html("p", { class: said.state === "done" ? "" : "wrong" }, `${said.words[0]?.toUpperCase() ?? ""}${said.words.slice(1)}.`),
      ...said.notes.map((note) => html("p", { class: "note" }, note)),
      ...said.warnings.map((words) => html("p", { class: "caution-words" }, `Look: ${words}.`)), ...aside(said));
    if (said.state === "done") this.done(said);
  }

  private async halt(): Promise<void> {
    const current = this.current;
    if (!current) return;
    current.away.abort();
    try {
      await ask(this.path(current.name, "/stop"), {});
      this.say("The import was stopped; nothing of it is kept.");
    } catch (wrong) {
      this.say(wrong instanceof Refused || wrong instanceof Silent ? wrong.message : "The import could not be stopped.");
    }
    this.show(false);
  }

  private progress(done: number, count: number, words: string): void {
    [this.bar.hidden, this.bar.max, this.bar.value] = [false, Math.max(count, 1), done];
    this.told.replaceChildren(html("p", {}, `${done} of ${count} files ${words}.`));
  }

  private show(under: boolean): void {
    this.stop.hidden = !under;
    if (under) return;
    this.bar.hidden = true;
    this.current = null;
  }

  private say(words: string): void {
    this.told.replaceChildren(html("p", { class: "wrong" }, words));
  }
}

function aside(said: ImportSaid): HTMLElement[] {
  if (!said.aside.length) return [];
  return [html("details", { open: said.aside.length < 6 }, html("summary", {}, `${said.aside.length} ${said.aside.length === 1 ? "file" : "files"} set aside`),
    html("ul", { class: "aside-list" }, ...said.aside.map((one) => html("li", {}, html("b", {}, one.name), `: ${one.reason}`))))];
}

async function lay(path: string, { file, name }: Handed, signal: AbortSignal): Promise<void> {
  const response = await fetch(path, { method: "POST", body: file, headers: { "X-Name": encodeURIComponent(name), "Content-Type": "application/octet-stream" }, signal });
  if (!response.ok) throw new Refused(response.status, ((await response.json()) as { error: string }).error, null);
}

/** Every file of what was dropped, folders walked through. */
async function dropped(handed: DataTransfer): Promise<Handed[]> {
  const entries = [...handed.items].map((item) => item.webkitGetAsEntry()).filter((entry) => entry !== null);
  return (await Promise.all(entries.map((entry) => walked(entry, "")))).flat();
}

async function walked(entry: FileSystemEntry, before: string): Promise<Handed[]> {
  const name = `${before}${entry.name}`;
  if (entry.isFile) {
    const file = await new Promise<File>((found, lost) => (entry as FileSystemFileEntry).file(found, lost));
    return [{ file, name }];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const found: Handed[] = [];
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((read, lost) => reader.readEntries(read, lost));
    if (!some.length) return found;
    for (const one of some) found.push(...await walked(one, `${name}/`));
  }
}
