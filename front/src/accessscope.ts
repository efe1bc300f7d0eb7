// Which arthroscope looks from where: portal, 30 or 70 degrees, compartment; what it sees, in words too.
import type { Live, ScopeOrder } from "./accesswire";
import { html } from "./draw";

export class ScopeControls {
  readonly eye = html("div", { class: "eyepiece" });
  private readonly told = html("p", { class: "scope-told" });
  private readonly portal = html("select", { id: "scope-portal" });
  private readonly tilts: HTMLInputElement[];
  private readonly spaces: HTMLInputElement[];
  order: ScopeOrder = { portal: "posterior", tilt: 0, compartment: "subacromial" };

  constructor(holder: HTMLElement, live: Live, changed: () => void) {
    this.portal.append(...live.portals.map((p) => html("option", { value: p.name }, p.name)));
    const radio = (name: string, value: string, words: string): [HTMLInputElement, HTMLElement] => {
      const input = html("input", { type: "radio", name, value });
      return [input, html("label", {}, input, ` ${words}`)];
    };
    const tilts = live.scope.tilts.map((tilt, i) => radio("tilt", String(i), `${tilt}°`));
    const spaces = (["subacromial", "joint"] as const).map((space) => radio("space", space, space));
    this.tilts = tilts.map(([input]) => input);
    this.spaces = spaces.map(([input]) => input);
    this.tilts[0]!.checked = true;
    this.spaces[0]!.checked = true;
    for (const input of [this.portal, ...this.tilts, ...this.spaces]) {
      input.addEventListener("change", () => {
        this.order = { portal: this.portal.value, tilt: this.tilts[1]!.checked ? 1 : 0, compartment: this.spaces[1]!.checked ? "joint" : "subacromial" };
        changed();
      });
    }
    holder.replaceChildren(html("h2", {}, "As the scope sees it"), this.eye,
      html("div", { class: "scope-choice" },
        html("p", {}, html("label", { for: "scope-portal" }, "From "), this.portal),
        html("fieldset", {}, html("legend", { class: "unseen" }, "Arthroscope"), ...tilts.map(([, label]) => label)),
        html("fieldset", {}, html("legend", { class: "unseen" }, "Compartment"), ...spaces.map(([, label]) => label))),
      this.told);
  }

  draw(live: Live): void {
    const { seen, unseen, stopped } = live.scope;
    this.told.replaceChildren(
      stopped ? html("b", {}, `Does not get there: ${stopped}.`) : html("b", {}, seen.length ? `In sight: ${seen.join(", ")}.` : "None of the sites in sight."),
      stopped || !unseen.length ? "" : ` Out of sight: ${unseen.join(", ")}.`);
  }
}
