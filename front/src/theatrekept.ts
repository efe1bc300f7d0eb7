// What Theatre keeps in this browser for an outage: the page with its parts, and what stood last; of one case only.
import type { Operation } from "./theatrewire";

const VIEW = "theatre-view-";

export function keepView(key: string, found: Operation): void {
  for (const name of Object.keys(localStorage)) if (name.startsWith(VIEW) && name !== VIEW + key) localStorage.removeItem(name);
  localStorage.setItem(VIEW + key, JSON.stringify(found));
}

export function keptView(key: string): Operation | null {
  return JSON.parse(localStorage.getItem(VIEW + key) ?? "null") as Operation | null;
}

/** Keep this page and everything it was made of; what was kept of another case is thrown away. */
export async function keepPage(key: string): Promise<void> {
  if (!("serviceWorker" in navigator)) return;
  const kept = await caches.open("theatre");
  for (const one of await kept.keys()) {
    const path = new URL(one.url).pathname;
    if (path.startsWith("/cases/") && !path.startsWith(`/cases/${key}/`)) await kept.delete(one);
  }
  await navigator.serviceWorker.register("/theatre-worker.js");
  await navigator.serviceWorker.ready;
  const loaded = performance.getEntriesByType("resource").map((one) => new URL(one.name).pathname);
  for (const path of new Set([window.location.pathname, ...loaded.filter((each) => each.startsWith("/static/"))])) {
    if (!(await kept.match(path))) await kept.add(path).catch(() => undefined);
  }
}
