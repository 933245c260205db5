/** Runs long computations: in a worker thread, or in this one if the browser has no workers. */

import type { Tasks } from "./tasks";

export interface Question {
  id: number;
  name: keyof Tasks;
  input: unknown[];
}

export type Answer = { id: number; found: unknown } | { id: number; fault: string };

/** Runs a task; the implementation decides in which thread. */
export type Compute = <Name extends keyof Tasks>(
  name: Name,
  ...input: Parameters<Tasks[Name]>
) => Promise<ReturnType<Tasks[Name]>>;

/** Runs a task in the caller's thread. */
export const computeHere: Compute = async (name, ...input) => {
  const { perform } = await import("./tasks");
  return perform(name, input) as ReturnType<Tasks[typeof name]>;
};

/** The worker thread has ended, or could not start. */
class NoThread extends Error {
  override name = "NoThread";
}

class Thread {
  readonly #worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
  readonly #waiting = new Map<number, { resolve: (found: unknown) => void; reject: (fault: unknown) => void }>();
  #asked = 0;

  constructor(onGone: () => void) {
    this.#worker.addEventListener("message", ({ data }: MessageEvent<Answer>) => {
      const one = this.#waiting.get(data.id);
      this.#waiting.delete(data.id);
      if ("fault" in data) one?.reject(new Error(data.fault));
      else one?.resolve(data.found);
    });
    this.#worker.addEventListener("error", (event) => {
      event.preventDefault();
      onGone();
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

/** One worker thread per page, started at the first task. */
export class Computer {
  /** null: this browser has no workers. */
  #thread: Thread | null | undefined = typeof Worker === "undefined" ? null : undefined;

  readonly compute: Compute = async (name, ...input) => {
    try {
      if (this.#thread === undefined) {
        this.#thread = new Thread(() => {
          this.#thread = null;
        });
      }
      if (this.#thread !== null) return (await this.#thread.ask(name, input)) as ReturnType<Tasks[typeof name]>;
    } catch (fault) {
      if (!(fault instanceof NoThread)) throw fault;
    }
    return computeHere(name, ...input);
  };
}
