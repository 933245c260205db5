import { connect } from "node:net";
import { setTimeout } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";
import { wording } from "./build/wording.ts";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The API server during development. */
const target = process.env.SPLITLINE_URL ?? "http://127.0.0.1:8484";

/** The server restarts when its code changes: requests wait until it is back. */
async function bypass(): Promise<undefined> {
  for (let tries = 0; tries < 300 && !(await isListening()); tries++) await setTimeout(100);
}

function isListening(): Promise<boolean> {
  const { hostname, port } = new URL(target);
  return new Promise((answer) => {
    const socket = connect(Number(port), hostname, () => answer(true));
    socket.on("error", () => answer(false)).on("connect", () => socket.destroy());
  });
}

/**
 * The build of the page. The server sends a strict Content-Security-Policy, so nothing is inlined: no script, no style,
 * no data URL. `@constants` is the server's package: chemistry and statistics read the same JSON on both sides.
 */
export default defineConfig({
  root: here("."),
  publicDir: here("public"),
  plugins: [wording],
  resolve: { alias: { "@constants": here("../server/splitline"), "@": here("src") } },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  worker: { format: "es" },
  server: { fs: { allow: [here("..")] }, proxy: { "^/(api/|healthz|livez|readyz|metrics)": { target, bypass } } },
  build: {
    outDir: here("dist"),
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    // One file for everything the first screen loads: split at what later screens share, it was 13 files and larger.
    rolldownOptions: { output: { codeSplitting: { groups: [{ name: "index", tags: ["$initial"] }] } } },
  },
});
