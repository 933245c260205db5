import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The tests live beside the server's tests and borrow the packages of this folder. */
const packages = ["fake-indexeddb", "fast-check", "idb", "preact", "@preact/signals"];

export default defineConfig({
  root: here("."),
  resolve: {
    alias: [
      { find: "@constants", replacement: here("../server/splitline") },
      { find: /^@\//, replacement: here("src/") },
      ...packages.map((name) => ({
        find: new RegExp(`^${name}(/.*)?$`),
        replacement: `${here("node_modules")}/${name}$1`,
      })),
    ],
  },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  server: { fs: { allow: [here("..")] } },
  test: {
    dir: here("../tests/pwa"),
    include: ["**/*.test.ts", "**/*.test.tsx"],
    globals: true,
    setupFiles: [here("../tests/pwa/setup.ts")],
    passWithNoTests: false,
  },
});
