import { fileURLToPath } from "node:url";
import type { Plugin } from "vite";
import { defineConfig } from "vitest/config";
import { wording } from "./build/wording.ts";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const tests = here("../tests/pwa");

/** The tests are beside the server's, outside this package: this resolves their imports as for files in src. */
const borrowedPackages: Plugin = {
  name: "borrowed-packages",
  enforce: "pre",
  resolveId(name, importer, options) {
    const isBare = /^[@\w]/.test(name) && !name.startsWith("@/") && !name.startsWith("@constants/");
    if (!isBare || !importer?.startsWith(tests)) return null;
    return this.resolve(name, here("src/main.tsx"), { ...options, skipSelf: true });
  },
};

export default defineConfig({
  root: here("."),
  plugins: [borrowedPackages, wording],
  resolve: { alias: { "@constants": here("../server/splitline"), "@": here("src") } },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  server: { fs: { allow: [here("..")] } },
  test: {
    dir: tests,
    include: ["**/*.test.ts", "**/*.test.tsx"],
    // No module remembers what a test did, so the tests share one set of modules, in a third of the time.
    isolate: false,
    globals: true,
    setupFiles: [`${tests}/setup.ts`],
    environmentOptions: { happyDOM: { width: 360, height: 800 } },
    passWithNoTests: false,
    pool: "threads",
    // A test may not fail because the machine is busy.
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
