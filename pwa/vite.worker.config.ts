import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/**
 * The service worker, a second build into the same folder. Its name never changes: browsers find a new version by
 * comparing its bytes.
 */
export default defineConfig({
  root: here("."),
  publicDir: false,
  define: { "process.env.NODE_ENV": JSON.stringify("production") },
  build: {
    outDir: here("dist"),
    emptyOutDir: false,
    target: "es2022",
    reportCompressedSize: false,
    rolldownOptions: {
      input: here("src/worker.ts"),
      output: { format: "iife", entryFileNames: "worker.js" },
    },
  },
});
