// Follow-up: a form is sent without leaving the page, so that a refused one keeps what was typed.
import { place } from "./draw";

const SWAPPED = ["middle"];

export function writeFollowUp(): void {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.method !== "post") return;
    event.preventDefault();
    void send(form);
  });
}

async function send(form: HTMLFormElement): Promise<void> {
  const words = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (typeof value === "string") words.append(name, value);
  try {
    const answer = await fetch(form.action, { method: "POST", body: words });
    if (answer.ok) swap(await answer.text());
    else say(((await answer.json()) as { error: string }).error);
  } catch {
    say("The program does not answer; nothing was stored. Start it again, then send the form once more.");
  }
}

function swap(text: string): void {
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const id of SWAPPED) {
    const now = page.getElementById(id);
    if (now) place(id).replaceChildren(...now.childNodes);
  }
  const thread = page.querySelector(".thread");
  if (thread) document.querySelector(".thread")?.replaceWith(thread);
  place("verdict").setAttribute("tabindex", "-1");
  place("verdict").focus({ preventScroll: true });
}

function say(sentence: string): void {
  const trouble = place("trouble");
  trouble.textContent = sentence;
  trouble.scrollIntoView({ block: "nearest" });
}
