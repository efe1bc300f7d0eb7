// Looking at a map: nearer and farther by key, button or Ctrl with the wheel, and along by dragging its ground.
import { html } from "./draw";
import { RepairMap } from "./map";
import { TURNS } from "./mapturn";

const WHEEL = 1.12;

/** Let ``map`` be zoomed and moved; ``redraw`` fits and draws it anew. */
export function lookAt(map: RepairMap, holder: HTMLElement, redraw: () => void): HTMLElement {
  let from: { x: number; y: number } | null = null;
  const zoom = (factor: number, about: [number, number] | null = null): void => {
    map.nearer(factor, about);
    redraw();
  };
  map.root.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    zoom(event.deltaY > 0 ? 1 / WHEEL : WHEEL, map.under(event));
  }, { passive: false });
  map.root.addEventListener("pointerdown", (event) => {
    const ground = !(event.target instanceof Element && event.target.closest(".movable, .tear-handle"));
    if (ground && event.button === 0 && !holder.classList.contains("placing")) from = { x: event.clientX, y: event.clientY };
  });
  map.root.addEventListener("pointermove", (event) => {
    if (!from || !(event.buttons & 1)) return;
    if (map.pan(event.clientX - from.x, event.clientY - from.y)) redraw();
    from = { x: event.clientX, y: event.clientY };
  });
  map.root.addEventListener("pointerup", () => { from = null; });
  document.addEventListener("keydown", (event) => {
    const typing = event.target instanceof Element && event.target.closest("textarea, input, select");
    if (event.key === "v" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) {
      turn((TURNS.indexOf(map.turn) + 1) % TURNS.length);
      return;
    }
    const factor = typing || event.ctrlKey || event.metaKey || event.altKey ? null : RepairMap.zoomOf(event.key);
    if (factor === null || (event.target instanceof Element && event.target.closest("[role=application]"))) return;
    event.preventDefault();
    zoom(factor);
  });
  const ways = html("select", { "aria-label": "How the map lies", "aria-keyshortcuts": "v" },
    ...TURNS.map((one) => html("option", { value: one.name }, one.words)));
  ways.selectedIndex = TURNS.indexOf(map.turn);
  ways.addEventListener("change", () => turn(ways.selectedIndex));
  const turn = (to: number): void => {
    map.turn = TURNS[to]!;
    ways.selectedIndex = to;
    redraw();
  };
  const button = (words: string, label: string, factor: number): HTMLElement => {
    const one = html("button", { type: "button", "aria-label": label }, words);
    one.addEventListener("click", () => zoom(factor));
    return one;
  };
  return html("div", { class: "map-tools", role: "group", "aria-label": "Size and turn of the map" },
    ways, button("+", "Nearer", 1.4), button("−", "Farther", 1 / 1.4), button("whole", "The whole map", 0.01));
}
