/** What each problem means, by its code, in the language that the import names: `pwa/build/wording.ts` picks it. */
declare module "@constants/checking/wording.json?*" {
  import type all from "@constants/checking/wording.json";

  const sentences: Record<keyof typeof all, string>;
  export default sentences;
}
