// The bundled font and the library that draws in three dimensions travel with their licences.
import { copyFileSync } from "node:fs";

const built = new URL("../src/cuffwright/web/static/built/", import.meta.url);
for (const [part, name] of [["@fontsource-variable/source-sans-3", "font-licence.txt"], ["three", "three-licence.txt"]]) {
  copyFileSync(new URL(`node_modules/${part}/LICENSE`, import.meta.url), new URL(name, built));
}
