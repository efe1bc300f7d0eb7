// A scale made by hand on a radiograph: an object of known size between two marks, or a stated magnification.
import { html } from "./draw";
import type { Pixel, ScaleSaid } from "./imageswire";

export class ScalePanel {
  scale: ScaleSaid | null = null;
  /** The two ends being marked; null while none are. */
  ends: Pixel[] | null = null;
  private readonly known = html("input", { id: "scale-known", placeholder: "ball of 25 mm beside the arm" });
  private readonly long = html("input", { id: "scale-long", type: "number", min: 0.1, max: 1000, step: "any" });
  private readonly factor = html("input", { id: "scale-factor", type: "number", min: 1, max: 10, step: "any" });
  private readonly sd = html("input", { id: "scale-sd", type: "number", min: 0, max: 1, step: "any" });
  private readonly wrong = html("p", { class: "wrong", role: "alert" });
  readonly root = html("details", { class: "scale-panel" });

  constructor(private readonly changed: () => void) {
    const field = (input: HTMLInputElement, words: string): HTMLElement => html("div", { class: "field" }, html("label", { for: input.id }, words), input);
    const mark = this.button("Mark both ends on the picture", () => this.begin());
    const state = this.button("State the magnification", () => this.state());
    const clear = this.button("Without scale again", () => this.put(null));
    this.root.append(html("summary", {}, "Scale of this picture"),
      html("p", { class: "note" }, "A radiograph is larger than the bone. Lengths need an object of known size at the bone's depth, or a stated magnification; the error of either enters every length."),
      field(this.known, "What is known, and where from"),
      field(this.long, "Length of the object, mm"), mark,
      field(this.factor, "Magnification, detector over true"), field(this.sd, "its SD"), state, clear, this.wrong);
  }

  /** A click on the picture while the object is being marked; true when it was used. */
  click(at: Pixel): boolean {
    if (!this.ends) return false;
    this.ends.push(at);
    if (this.ends.length < 2) this.changed();
    else {
      const [start, end] = this.ends as [Pixel, Pixel];
      this.ends = null;
      this.put({ kind: "object", known: this.words(), start, end, known_mm: Number(this.long.value) });
    }
    return true;
  }

  say(): string {
    if (this.ends) return `Mark ${this.ends.length ? "the other" : "one"} end of the object.`;
    if (!this.scale) return "";
    return this.scale.kind === "object" ? `Scale: ${this.scale.known}, ${this.scale.known_mm} mm between its marks.` : `Scale: magnification ${this.scale.factor}, SD ${this.scale.sd} (${this.scale.known}).`;
  }

  put(scale: ScaleSaid | null): void {
    this.scale = scale;
    this.wrong.textContent = "";
    this.root.open = scale === null;
    this.changed();
  }

  private words(): string {
    return this.known.value.trim() || "no words given";
  }

  private begin(): void {
    if (!(Number(this.long.value) > 0)) {
      this.wrong.textContent = "Give the length of the object in mm first.";
      return;
    }
    this.wrong.textContent = "";
    this.ends = [];
    this.changed();
  }

  private state(): void {
    const [factor, sd] = [Number(this.factor.value), this.sd.value === "" ? NaN : Number(this.sd.value)];
    if (!(factor >= 1) || !(sd >= 0)) {
      this.wrong.textContent = "Give a magnification of 1 or more and its SD: how well are the distances known?";
      return;
    }
    this.put({ kind: "magnification", known: this.words(), factor, sd });
  }

  private button(words: string, deed: () => void): HTMLButtonElement {
    const made = html("button", { type: "button", class: "small-button" }, words);
    made.addEventListener("click", deed);
    return made;
  }
}
