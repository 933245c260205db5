/// <reference lib="webworker" />
/** A worker thread for long computations, so that the screen stays responsive. It reads and writes no storage. */

import type { Answer, Question } from ".";
import { perform } from "./tasks";

declare const self: DedicatedWorkerGlobalScope;

self.addEventListener("message", ({ data: { id, name, input } }: MessageEvent<Question>) => {
  self.postMessage(answerTo(id, name, input));
});

function answerTo(id: number, name: Question["name"], input: unknown[]): Answer {
  try {
    return { id, found: perform(name, input) };
  } catch (fault) {
    return { id, fault: String(fault) };
  }
}
