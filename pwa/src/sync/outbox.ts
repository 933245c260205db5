/** Sends what waits, oldest first. Safe to do twice; a lock keeps two tabs from doing it at once. */

import { labels } from "../i18n";
import type { Answer, AnswerStatus, Pushed } from "../records";
import type { OutboxEntry } from "../rows/test";
import { identity } from "../store/identity";
import { MOST_RECORDS, markTried, nextBatch, sequenceOf, settle } from "../store/outbox";
import { type Client, FAILED, Trouble } from "./client";

/** Failures in a row that a server is allowed before it is left alone: one record in 500 is found with ten. */
const MOST_FAILURES = 12;

/**
 * Sends batch after batch until nothing is ready. Gives how many records were answered for.
 *
 * Where a batch is refused as a whole, or the server fails over it, smaller ones are sent until the record that spoils
 * it stands alone. A refused one is parked with what the server said; one that the server fails over stays in the
 * queue, to be tried another time, and the others go past it.
 *
 * Throws Trouble when the server cannot be reached, or failed over a record; what was not answered for stays in the
 * queue as it was.
 */
export async function drain(client: Client, clock: () => Date): Promise<number> {
  const passed = new Map<number, Trouble>();
  let answered = 0;
  let most = MOST_RECORDS;
  let failures = 0;
  for (;;) {
    const batch = await nextBatch(most, passed);
    if (batch.length === 0) break;
    try {
      answered += await send(client, batch, clock);
      most = Math.min(2 * most, MOST_RECORDS);
      failures = 0;
    } catch (fault) {
      if (!isOfRecords(fault)) throw fault;
      failures += fault.status === FAILED ? 1 : 0;
      if (failures > MOST_FAILURES) throw fault;
      if (batch.length > 1) most = Math.ceil(batch.length / 2);
      else if (fault.status === FAILED) passed.set(sequenceOf(batch[0] as OutboxEntry), fault);
      else answered += await park(batch, fault, clock);
    }
  }
  const [failure] = passed.values();
  if (failure !== undefined) throw failure;
  return answered;
}

/** With the identity of the moment: another may have been taken over since the last batch. */
async function send(client: Client, batch: OutboxEntry[], clock: () => Date): Promise<number> {
  await markTried(batch, clock());
  const { secret } = await identity();
  const body = JSON.stringify({ records: batch.map((entry) => entry.record), sent_at: clock().toISOString() });
  const found = await client.json<Pushed>({
    method: "POST",
    path: "/api/v1/push",
    body,
    type: "application/json",
    secret,
  });
  if (!isAnswerFor(found, batch)) throw new Trouble("not_understood");
  await settle(batch, found.answers.map(known), clock());
  return batch.length;
}

function isAnswerFor(found: Pushed, batch: OutboxEntry[]): boolean {
  return (
    Array.isArray(found?.answers) &&
    found.answers.length === batch.length &&
    found.answers.every((answer) => typeof answer?.status === "string")
  );
}

const STATUSES: readonly string[] = ["stored", "known", "replaced", "held", "refused"] satisfies AnswerStatus[];

/** An answer as this version knows answers; one of a later kind parks its record and says so, and holds up no other. */
function known(answer: Answer): Answer {
  const problems = Array.isArray(answer.problems) ? answer.problems : [];
  if (STATUSES.includes(answer.status)) return { ...answer, problems };
  const sentence = labels.common.answerUnknown(String(answer.status));
  const problem = { code: "answer_unknown", field: "", value: String(answer.status), limit: "", sentence };
  return { ...answer, status: "refused", problems: [problem, ...problems] };
}

/** The server refused what stands alone here: it is parked with what the server said. */
async function park(batch: OutboxEntry[], fault: Trouble, clock: () => Date): Promise<number> {
  await settle(
    batch,
    batch.map((entry) => refusal(entry, fault)),
    clock(),
  );
  return batch.length;
}

/** Whether a fault may lie in what was sent, and is not of the way to the server, of its state or of who sends. */
function isOfRecords(fault: unknown): fault is Trouble {
  return fault instanceof Trouble && [400, 413, 422, FAILED].includes(fault.status ?? 0);
}

function refusal(entry: OutboxEntry, fault: Trouble): Answer {
  const { id, kind, revision } = entry;
  const general = { code: fault.code, field: "", value: "", limit: "", sentence: fault.message };
  const problems = fault.problems.length > 0 ? fault.problems : [general];
  return { id, kind, revision, status: "refused", problems, content: null, expanded_uncertainty: null, region: null };
}
