// The case list: open a case file of one's own.
import { place } from "./draw";
import { ask, Refused } from "./wire";

const LARGEST_BYTES = 200_000;

export function openCaseFiles(): void {
  const form = place("case-file");
  const wrong = place("file-wrong");
  const take = (file: File | undefined): void => {
    wrong.textContent = "";
    if (file) void open(file).catch((reason: unknown) => {
      wrong.textContent = words(reason);
      wrong.scrollIntoView({ block: "nearest" });
    });
  };
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    take((document.getElementById("file") as HTMLInputElement).files?.[0]);
  });
  document.addEventListener("dragover", (event) => {
    if (event.dataTransfer?.types.includes("Files")) event.preventDefault();
  });
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    take(event.dataTransfer?.files[0]);
  });
  findAsTyped();
  fillShort();
}

/** What does not hold every word is folded away while one types. */
function findAsTyped(): void {
  const box = document.getElementById("q") as HTMLInputElement | null;
  const lines = [...document.querySelectorAll<HTMLElement>("li.case")];
  box?.addEventListener("input", () => {
    const wanted = box.value.toLowerCase().split(/\s+/);
    for (const line of lines) line.hidden = !wanted.every((word) => line.textContent.toLowerCase().includes(word));
    place("none").textContent = box.value.trim() ? `${lines.filter((line) => !line.hidden).length} of ${lines.length} cases.` : "";
  });
}

/** The short path says what is wrong beside its button instead of on a page of its own. */
function fillShort(): void {
  const form = place("short") as HTMLFormElement;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const sent = new URLSearchParams([...new FormData(form)].map(([name, value]) => [name, String(value)]));
    void fetch(form.action, { method: "POST", body: sent }).then(async (answer) => {
      if (answer.ok) window.location.assign(answer.url);
      else place("short-wrong").textContent = ((await answer.json()) as { error: string }).error;
    }, () => { place("short-wrong").textContent = "The server does not answer; start cuffwright serve again."; });
  });
}

async function open(file: File): Promise<void> {
  if (file.size > LARGEST_BYTES) throw new Refused(413, `${file.name} has ${file.size} bytes, more than a case file ever has; choose a .toml file.`, null);
  const { address } = await ask<{ address: string }>("/api/cases", { toml: await file.text() });
  window.location.assign(address);
}

function words(reason: unknown): string {
  return reason instanceof Error ? reason.message : "The file could not be opened.";
}
