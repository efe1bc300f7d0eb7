// Looking at a map: nearer and farther by key, button or Ctrl with the wheel, and along by dragging its ground.
import { html } from "./draw";
import { RepairMap } from "./map";

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
    const factor = typing || event.ctrlKey || event.metaKey || event.altKey ? null : RepairMap.zoomOf(event.key);
    if (factor === null || (event.target instanceof Element && event.target.closest("[role=application]"))) return;
    event.preventDefault();
    zoom(factor);
  });
  const button = (words: string, label: string, factor: number): HTMLElement => {
    const one = html("button", { type: "button", "aria-label": label }, words);
    one.addEventListener("click", () => zoom(factor));
    return one;
  };
  return html("div", { class: "map-tools", role: "group", "aria-label": "Size of the map" },
    button("+", "Nearer", 1.4), button("−", "Farther", 1 / 1.4), button("whole", "The whole map", 0.01));
}
