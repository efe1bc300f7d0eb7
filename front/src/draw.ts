// Make elements without markup text, so that nothing a file says is ever read as markup.

export type Attributes = Record<string, string | number | boolean | null | undefined>;
type Child = Node | string | null | undefined;

const SVG = "http://www.w3.org/2000/svg";

function dress<E extends Element>(element: E, attributes: Attributes, children: Child[]): E {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children) if (child !== null && child !== undefined) element.append(child);
  return element;
}

export function html<K extends keyof HTMLElementTagNameMap>(
  tag: K, attributes: Attributes = {}, ...children: Child[]
): HTMLElementTagNameMap[K] {
  return dress(document.createElement(tag), attributes, children);
}

export function svg<K extends keyof SVGElementTagNameMap>(
  tag: K, attributes: Attributes = {}, ...children: Child[]
): SVGElementTagNameMap[K] {
  return dress(document.createElementNS(SVG, tag), attributes, children);
}

export function place(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no place called ${id}`);
  return found;
}

/** A path through points; ``close`` joins the last to the first. */
export function way(points: readonly (readonly [number, number])[], close = false): string {
  const steps = points.map(([x, y], i) => `${i ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`).join("");
  return close && steps ? `${steps}Z` : steps;
}
