// The bundled font travels with its licence.
import { copyFileSync } from "node:fs";

copyFileSync(
  new URL("node_modules/@fontsource-variable/source-sans-3/LICENSE", import.meta.url),
  new URL("../src/cuffwright/web/static/built/font-licence.txt", import.meta.url),
);
