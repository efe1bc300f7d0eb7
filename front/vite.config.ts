import { defineConfig } from "vite";

export default defineConfig({
  base: "/static/built/",
  build: {
    outDir: "../src/cuffwright/web/static/built",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: false,
    cssCodeSplit: false,
    rolldownOptions: {
      input: { page: "src/page.ts", theatreworker: "src/theatreworker.ts" },
      output: {
        entryFileNames: "[name].js",
        chunkFileNames: "[name].js",
        assetFileNames: "[name][extname]",
      },
    },
  },
});
