/** The queue to send, oldest first. One entry per record: a newer revision replaces an unsent one. */

import type { Answer } from "../records";
import type { OutboxEntry, SyncNote, SyncState } from "../rows/test";
import { announce } from "./changes";
import type { Facts } from "./facts";
import { representativeOf } from "./merges";
import { run, write } from "./open";
import type { Place, Writing } from "./schema";
import { sentPhotos } from "./sealed";
import { marked } from "./stale";

/** Limits of one push, leaving space for the envelope: 500 records, 1 MiB. */
export const MOST_RECORDS = 500;
const MOST_BYTES = 1_000_000;

export const OUTBOX_PLACES: Place[] = ["outbox", "own_tests", "sources", "merged", "photos", "figures", "settings"];

export function waitingNote(state: SyncState, old: SyncNote | null = null): SyncNote {
  return { state, problems: [], revision: old?.revision ?? null, answered_at: old?.answered_at ?? null };
}

/** Whether a record stays on this phone until the person shares it. */
export function staysHere(note: SyncNote): boolean {
  return note.state === "private" || note.state === "imported";
}

/** Queues a record, inside the transaction that saves it. */
export async function enqueue(
  writing: Writing,
  entry: Pick<OutboxEntry, "kind" | "id" | "revision" | "source" | "record">,
): Promise<void> {
  const outbox = writing.objectStore("outbox");
  const old = await outbox.index("by_record").get([entry.kind, entry.id]);
  if (old?.sequence !== undefined) await outbox.delete(old.sequence);
  await outbox.add({ ...entry, parked: 0, tried_at: old?.tried_at ?? null });
}

/** Removes a record that was never tried from the queue; false if the server may have it. */
export async function withdraw(writing: Writing, kind: OutboxEntry["kind"], id: string): Promise<boolean> {
  const outbox = writing.objectStore("outbox");
  const old = await outbox.index("by_record").get([kind, id]);
  if (old?.sequence === undefined) return false;
  await outbox.delete(old.sequence);
  return old.tried_at === null;
}

/**
 * The next entries to send: sources before tests, each oldest first. Without parked entries, those to skip (by their
 * sequence), and tests whose source cannot be sent before them.
 */
export async function nextBatch(
  most = MOST_RECORDS,
  passed: ReadonlyMap<number, unknown> = new Map(),
  bytes = MOST_BYTES,
): Promise<OutboxEntry[]> {
  const entries = await run((base) => base.getAll("outbox"));
  const stays = (one: OutboxEntry) => one.parked === 1 || passed.has(sequenceOf(one));
  const missing = new Set(entries.filter((one) => one.kind === "source" && stays(one)).map((one) => one.id));
  const ready = entries.filter((one) => !stays(one) && !(one.kind === "test" && missing.has(one.source)));
  ready.sort((a, b) => Number(a.kind === "test") - Number(b.kind === "test") || sequenceOf(a) - sequenceOf(b));
  const batch: OutboxEntry[] = [];
  let size = 0;
  for (const entry of ready.slice(0, most)) {
    size += new TextEncoder().encode(JSON.stringify(entry.record)).length + 1;
    if (size > bytes && batch.length > 0) break;
    batch.push(entry);
  }
  return batch;
}

/** Notes that these are about to be sent: from now on the server may have them. */
export async function markTried(batch: OutboxEntry[], now: Date): Promise<void> {
  await write(["outbox"], async (writing) => {
    const outbox = writing.objectStore("outbox");
    for (const { sequence } of batch) {
      const entry = await outbox.get(sequence as number);
      if (entry !== undefined) await outbox.put({ ...entry, tried_at: now.toISOString() });
    }
  });
}

/**
 * Applies the server's answers, one per entry in order, to the queue and the records: sent entries leave the queue,
 * refused ones are parked. An entry that a newer revision replaced meanwhile stays in the queue.
 */
export async function settle(batch: OutboxEntry[], answers: Answer[], now: Date): Promise<void> {
  const isRefused = (index: number) => answers[index]?.status === "refused";
  const lost = new Set(batch.filter((entry, index) => entry.kind === "source" && isRefused(index)).map(({ id }) => id));
  await write(OUTBOX_PLACES, async (writing) => {
    for (const [index, entry] of batch.entries()) {
      const answer = answers[index];
      // A test refused only because of its source waits until the source is accepted.
      if (entry.kind === "test" && isRefused(index) && lost.has(entry.source)) continue;
      if (answer !== undefined) await settleOne(writing, entry, answer, now);
    }
  });
  announce("outbox", "own_tests", "sources", "figures", "photos");
}

async function settleOne(writing: Writing, entry: OutboxEntry, answer: Answer, now: Date): Promise<void> {
  const outbox = writing.objectStore("outbox");
  const queued = await outbox.get(sequenceOf(entry));
  // If the entry is gone, a newer revision replaced it while this one was being sent.
  if (queued !== undefined && answer.status === "refused") await outbox.put({ ...queued, parked: 1 });
  if (queued !== undefined && answer.status !== "refused") await outbox.delete(sequenceOf(entry));
  if (entry.kind === "source" && "retracted" in entry.record) {
    await noteRetractedSource(writing, entry, answer, now);
    return;
  }
  const state: SyncState = queued === undefined ? "waiting" : stateOf(answer);
  const note: SyncNote = {
    state,
    problems: answer.problems,
    revision: entry.revision,
    answered_at: now.toISOString(),
  };
  if (entry.kind === "test") await noteTest(writing, entry, answer, note);
  else await noteSource(writing, entry, answer, note);
}

async function noteTest(writing: Writing, entry: OutboxEntry, answer: Answer, note: SyncNote): Promise<void> {
  const tests = writing.objectStore("own_tests");
  const row = await tests.get(entry.id);
  if (row === undefined) return;
  const moved = (row.sync.state === "held") !== (note.state === "held") || note.state === "refused";
  await tests.put({
    ...row,
    sync: note,
    server_content: answer.content ?? row.server_content,
    server_uncertainty: answer.expanded_uncertainty ?? row.server_uncertainty,
  });
  if (note.state === "sent" || note.state === "held")
    await releasePhotos(writing, row.retracted ? [] : sentPhotos(row));
  if (moved) {
    const shown = await representativeOf(writing.objectStore("merged"), row.source);
    const line = await writing.objectStore("figures").get(shown);
    if (line !== undefined) await writing.objectStore("figures").put({ ...line, ...marked(line) });
  }
}

async function noteSource(writing: Writing, entry: OutboxEntry, answer: Answer, note: SyncNote): Promise<void> {
  const sources = writing.objectStore("sources");
  const row = await sources.get(entry.id);
  if (row === undefined) return;
  const region = answer.region ?? row.region;
  await sources.put({ ...row, region, sync: note });
  const line = await writing.objectStore("figures").get(entry.id);
  if (line !== undefined) await writing.objectStore("figures").put({ ...line, region });
}

/** Withdrawn: the source is deleted. Refused because others tested there: it stays, with the server's reason. */
async function noteRetractedSource(writing: Writing, entry: OutboxEntry, answer: Answer, now: Date): Promise<void> {
  await noteTakenBack(writing, entry, answer.status !== "refused");
  if (answer.status !== "refused") {
    await writing.objectStore("sources").delete(entry.id);
    await writing.objectStore("figures").delete(entry.id);
    return;
  }
  await writing.objectStore("outbox").delete(sequenceOf(entry));
  const row = await writing.objectStore("sources").get(entry.id);
  if (row === undefined) return;
  const sync: SyncNote = {
    state: "sent",
    problems: answer.problems,
    revision: row.revision,
    answered_at: now.toISOString(),
  };
  await writing.objectStore("sources").put({ ...row, retracting: false, sync });
}

/** What remains of a deleted source: enough to withdraw it again from a restored server. */
async function noteTakenBack(writing: Writing, { id, revision }: OutboxEntry, gone: boolean): Promise<void> {
  const settings = writing.objectStore("settings");
  const { [id]: _, ...others } = ((await settings.get("taken_back")) ?? {}) as Facts["taken_back"];
  await settings.put(gone ? { ...others, [id]: revision } : others, "taken_back");
}

/** Photos follow once the server has their test. */
async function releasePhotos(writing: Writing, digests: string[]): Promise<void> {
  const photos = writing.objectStore("photos");
  for (const digest of digests) {
    const photo = await photos.get(digest);
    if (photo?.state === "private") await photos.put({ ...photo, state: "waiting" });
  }
}

/** Puts one or all parked entries back in the queue. */
export async function retryParked(only?: { kind: OutboxEntry["kind"]; id: string }): Promise<void> {
  await write(["outbox", "own_tests", "sources"], async (writing) => {
    const outbox = writing.objectStore("outbox");
    for (const entry of await outbox.index("by_parked").getAll(1)) {
      if (only !== undefined && (only.kind !== entry.kind || only.id !== entry.id)) continue;
      await outbox.put({ ...entry, parked: 0 });
      if (entry.kind === "test") {
        const row = await writing.objectStore("own_tests").get(entry.id);
        if (row !== undefined) {
          await writing.objectStore("own_tests").put({ ...row, sync: waitingNote("waiting", row.sync) });
        }
      } else {
        const row = await writing.objectStore("sources").get(entry.id);
        if (row !== undefined) {
          await writing.objectStore("sources").put({ ...row, sync: waitingNote("waiting", row.sync) });
        }
      }
    }
  });
  announce("outbox", "own_tests", "sources");
}

export async function countUnsent(): Promise<{ unsent: number; parked: number }> {
  return run(async (base) => {
    const { store } = base.transaction("outbox");
    const [unsent, parked] = await Promise.all([store.count(), store.index("by_parked").count(1)]);
    return { unsent, parked };
  });
}

function stateOf(answer: Answer): SyncState {
  if (answer.status === "refused") return "refused";
  return answer.status === "held" ? "held" : "sent";
}

export function sequenceOf(entry: OutboxEntry): number {
  return entry.sequence as number;
}
