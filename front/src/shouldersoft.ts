// Whether this browser draws in three dimensions by software: then it draws coarser while something moves.

const BY_SOFTWARE = /swiftshader|llvmpipe|softpipe|software|basic render/i;

/** Throws when there is no WebGL at all. */
export function drawsBySoftware(): boolean {
  const probe = document.createElement("canvas").getContext("webgl2");
  if (!probe) throw new Error("no WebGL");
  const told = probe.getExtension("WEBGL_debug_renderer_info");
  const name = told ? String(probe.getParameter(told.UNMASKED_RENDERER_WEBGL)) : "";
  probe.getExtension("WEBGL_lose_context")?.loseContext();
  return BY_SOFTWARE.test(name);
}
