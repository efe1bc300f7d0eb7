// Theatre through an outage: the page and its parts are kept in this browser and shown when the server does not answer.
// While it answers, nothing kept is ever shown.
interface Asked extends Event { request: Request; respondWith(answer: Promise<Response>): void }

const KEPT = "theatre";
const SHOWN = /^\/(cases\/[\w-]+\/theatre|static\/(built\/[\w.-]+|icon\.svg))$/;

self.addEventListener("fetch", (event) => {
  const asked = event as Asked;
  const path = new URL(asked.request.url).pathname;
  if (asked.request.method === "GET" && SHOWN.test(path)) asked.respondWith(answer(asked.request, path));
});

async function answer(request: Request, path: string): Promise<Response> {
  const kept = await caches.open(KEPT);
  try {
    const found = await fetch(request);
    if (found.ok) await kept.put(path, found.clone());
    return found;
  } catch (silent) {
    const last = await kept.match(path);
    if (last) return last;
    throw silent;
  }
}
