// A pedal that sends Page Down and Page Up: off until a named assistant switches it on; two presses at once count as one.
import { place } from "./draw";

const REST_MS = 800;

export class Pedal {
  private person = "";
  private last = 0;

  constructor(private readonly leave: () => void, private readonly back: () => void, private readonly say: (field: string, text: string) => void) {}

  /** Switch it on for a person; false when nobody is named. */
  on(person: string): boolean {
    if (!person) {
      place("pedal-person").focus();
      return false;
    }
    this.tell(person, `switched on for ${person}`);
    return true;
  }

  /** Switch it off; false when it was off. */
  off(): boolean {
    if (!this.person) return false;
    this.tell("", `switched off, was on for ${this.person}`);
    return true;
  }

  /** Take a key when it is the pedal's and the pedal is on. */
  press(event: KeyboardEvent): boolean {
    if (!this.person || (event.key !== "PageDown" && event.key !== "PageUp")) return false;
    event.preventDefault();
    const now = performance.now();
    if (event.repeat || now - this.last < REST_MS) return true;
    this.last = now;
    if (event.key === "PageDown") this.leave();
    else this.back();
    return true;
  }

  private tell(person: string, words: string): void {
    this.person = person;
    place("pedal").textContent = person ? `Pedal on: ${person}` : "Pedal off";
    this.say("pedal", words);
  }
}
