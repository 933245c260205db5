import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/**
 * The page. The server sends a strict Content-Security-Policy, so nothing is inlined: no script, no style, no data URL.
 * `@constants` is the server's package: chemistry and statistics read the same JSON on both sides.
 */
export default defineConfig({
  root: here("."),
  publicDir: here("public"),
  resolve: { alias: { "@built": here("built"), "@constants": here("../server/splitline"), "@": here("src") } },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  worker: { format: "es" },
  server: { fs: { allow: [here("..")] } },
  build: {
    outDir: here("dist"),
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    // One file for all that the first screen loads: cut where later screens share a part, it was 13 and weighed more.
    rolldownOptions: { output: { codeSplitting: { groups: [{ name: "index", tags: ["$initial"] }] } } },
  },
});
