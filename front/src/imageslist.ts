// The series by plane and geometry, with what each can measure, and what was set aside.
import { html } from "./draw";
import type { ImagesBoard, SeriesSaid } from "./imageswire";

export function drawSeries(holder: HTMLElement, board: ImagesBoard, shown: SeriesSaid | null, open: (one: SeriesSaid) => void): void {
  const rows = board.series.map((one) => {
    const button = html("button", { type: "button", class: "series-button", "aria-pressed": String(one === shown) },
      html("b", {}, `${one.number + 1}. ${one.modality}, ${one.pictures.length} ${one.pictures.length === 1 ? "picture" : "slices"}`),
      html("span", {}, one.plane), html("span", {}, measured(one)),
      html("span", { class: `can ${one.can_measure === "cannot be measured" ? "cannot" : ""}` }, one.can_measure));
    button.addEventListener("click", () => open(one));
    return html("li", {}, button, ...(one.notes.length ? [html("ul", { class: "series-notes" }, ...one.notes.map((note) => html("li", {}, note)))] : []));
  });
  holder.replaceChildren(html("h2", {}, "Series"), rows.length ? html("ul", { class: "series-list" }, ...rows) : html("p", {}, "No images in this case yet."));
}

function measured(one: SeriesSaid): string {
  const [row, column] = one.spacing;
  const grid = row && column ? `${Number(column.toFixed(3))} × ${Number(row.toFixed(3))} mm a pixel` : "no spacing";
  const step = one.step ? `, ${Number(one.step.toFixed(2))} mm between slices` : "";
  return `${one.columns} × ${one.rows} pixels, ${grid}${step}`;
}

export function drawAside(holder: HTMLElement, board: ImagesBoard, remove: (id: string) => void): void {
  const reasons = board.imports.flatMap((one) => one.aside);
  const rows = board.imports.map((one, i) => {
    const words = `Remove the ${one.pictures} pictures of import ${i + 1} for good`;
    const button = html("button", { type: "button", class: "small-button" }, "Remove for good", html("span", { class: "unseen" }, ` import ${i + 1}`));
    let sure = false;
    button.addEventListener("click", () => {
      if (sure) return remove(one.id);
      sure = true;
      button.textContent = `${words}: press again`;
    });
    return html("li", {}, `${one.pictures} ${one.pictures === 1 ? "picture" : "pictures"}. `, button);
  });
  holder.replaceChildren(
    ...(reasons.length ? [html("h2", {}, "Set aside"), html("ul", { class: "aside-list" }, ...reasons.map((words) => html("li", {}, words)))] : []),
    ...(rows.length ? [html("h2", {}, "Imports"), html("ul", { class: "import-list" }, ...rows)] : []));
}

/** What must always stand over a picture: side, slice, scale, what is odd. */
export function drawHead(holder: HTMLElement, board: ImagesBoard, one: SeriesSaid, index: number): void {
  const side = board.side.toUpperCase();
  const tagged = one.side.some((words) => words.includes("laterality tag"));
  const named = one.side.length ? `${one.side.join(", ")}${tagged ? "" : "; confirmed by hand at import"}` : "no file names the side; it was confirmed by hand at import";
  const scale = one.scale === "patient" ? "scale in the patient's plane" : `scale: ${one.scale} (${one.scale_words})`;
  holder.replaceChildren(
    html("p", { class: `side-check ${one.side_fits ? "" : "wrong"}` }, html("b", {}, side), one.side_fits ? ` ${one.side.length ? "✓" : "?"} ${named}` : ` ⚠ contradicted: ${named}`),
    html("p", { class: "slice-words" }, `Series ${one.number + 1}, ${one.pictures.length > 1 ? `slice ${index + 1} of ${one.pictures.length}` : "one picture"}, ${scale}. Dates and names removed. Not for primary diagnosis.`));
}
