/** Asks for what takes long to compute: in a thread of its own, or in this one where a browser has none. */

import type { Tasks } from "./tasks";

export interface Question {
  id: number;
  name: keyof Tasks;
  input: unknown[];
}

export type Answer = { id: number; found: unknown } | { id: number; fault: string };

/** The thread is gone, or could not begin. */
class NoThread extends Error {
  override name = "NoThread";
}

/** One per page, begun when it is first asked. */
class Thread {
  readonly #worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
  readonly #waiting = new Map<number, { resolve: (found: unknown) => void; reject: (fault: unknown) => void }>();
  #asked = 0;

  constructor() {
    this.#worker.addEventListener("message", ({ data }: MessageEvent<Answer>) => {
      const one = this.#waiting.get(data.id);
      this.#waiting.delete(data.id);
      if ("fault" in data) one?.reject(new Error(data.fault));
      else one?.resolve(data.found);
    });
    this.#worker.addEventListener("error", (event) => {
      event.preventDefault();
      thread = null;
      for (const one of this.#waiting.values()) one.reject(new NoThread("the thread did not begin"));
    });
  }

  ask(name: keyof Tasks, input: unknown[]): Promise<unknown> {
    this.#asked += 1;
    const id = this.#asked;
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject });
      this.#worker.postMessage({ id, name, input } satisfies Question);
    });
  }
}

/** null: this browser has none. */
let thread: Thread | null | undefined;

export async function compute<Name extends keyof Tasks>(
  name: Name,
  ...input: Parameters<Tasks[Name]>
): Promise<ReturnType<Tasks[Name]>> {
  try {
    thread ??= thread === null || typeof Worker === "undefined" ? null : new Thread();
    if (thread !== null) return (await thread.ask(name, input)) as ReturnType<Tasks[Name]>;
  } catch (fault) {
    if (!(fault instanceof NoThread)) throw fault;
  }
  const { perform } = await import("./tasks");
  return perform(name, input) as ReturnType<Tasks[Name]>;
}
