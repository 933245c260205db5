import { readFileSync } from "node:fs";
import type { Plugin } from "vite";

type Said = Record<string, string>;

/**
 * `wording.json?fr` is what the file of sentences says in French only, so that nobody loads another language. Where a
 * language has other words for whoever holds the phone (`en_phone`), the app says these.
 */
export const wording: Plugin = {
  name: "wording",
  enforce: "pre",
  load(id) {
    const [, path, language] = /^(.+\/wording\.json)\?(\w+)$/.exec(id) ?? [];
    if (!path || !language) return null;
    const all = Object.entries(JSON.parse(readFileSync(path, "utf8")) as Record<string, Said>);
    const said = all.map(([code, one]) => [code, one[`${language}_phone`] ?? one[language]] as const);
    const silent = said.filter(([, sentence]) => !sentence).map(([code]) => code);
    if (silent.length > 0) this.error(`wording.json has no sentence in "${language}" for ${silent.join(", ")}`);
    return { code: `export default ${JSON.stringify(Object.fromEntries(said))};`, moduleType: "js" };
  },
};
