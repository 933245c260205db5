/**
 * Fills the worker's precache list with every file of the build, so that a cold start needs no network. Hashed names
 * need no revision; the others get the start of their SHA-256. All get the digest that a browser checks. Files of one
 * language, other than English, name it: only phones that use it install them.
 */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, relative, sep } from "node:path";
import { fileURLToPath } from "node:url";

const dist = fileURLToPath(new URL("../dist", import.meta.url));
const MARK = "__PRECACHE__";
const HASHED = /-[\w-]{8}\.\w+$/;
const labels = fileURLToPath(new URL("../src/i18n", import.meta.url));
const LANGUAGES = readdirSync(labels).filter((name) => /^[a-z]{2}$/.test(name) && name !== "en");

const files = readdirSync(dist, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile())
  .map((entry) => relative(dist, join(entry.parentPath, entry.name)).split(sep).join("/"))
  .filter((name) => name !== "worker.js" && !name.endsWith(".map"))
  .sort();

const list = files.map((name) => {
  const bytes = readFileSync(join(dist, name));
  const isHashed = name.startsWith("assets/") && HASHED.test(name);
  const revision = isHashed ? null : digest(bytes).toString("hex").slice(0, 16);
  const language = LANGUAGES.find((one) => name.startsWith(`assets/${one}-`) && isHashed);
  return { url: `/${name}`, revision, integrity: `sha256-${digest(bytes).toString("base64")}`, language };
});

const worker = join(dist, "worker.js");
const text = readFileSync(worker, "utf8");
const parts = text.split(MARK);
if (parts.length !== 2) throw new Error(`worker.js holds ${MARK} ${parts.length - 1} times, expected once`);
writeFileSync(worker, parts.join(JSON.stringify(list)));
console.log(`precache: ${list.length} files`);

function digest(bytes) {
  return createHash("sha256").update(bytes).digest();
}
