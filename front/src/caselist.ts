// The case list: open a case file of one's own.
import { place } from "./draw";
import { ask, Refused } from "./wire";

const LARGEST_BYTES = 200_000;

export function openCaseFiles(): void {
  const form = place("case-file");
  const wrong = place("file-wrong");
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const file = (document.getElementById("file") as HTMLInputElement).files?.[0];
    wrong.textContent = "";
    if (file) void open(file).catch((reason: unknown) => { wrong.textContent = words(reason); });
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
