/** Sends the outbox, oldest first. Safe to do twice; a lock prevents two tabs from doing it at once. */

import { labels } from "../i18n";
import type { Answer, AnswerStatus, Pushed } from "../records";
import type { OutboxEntry } from "../rows/test";
import { identity } from "../store/identity";
import { MOST_RECORDS, markTried, nextBatch, sequenceOf, settle } from "../store/outbox";
import { type Client, FAILED, Trouble } from "./client";

/** Consecutive failures before a server is left alone: ten are enough to find one record in 500. */
const MOST_FAILURES = 12;

/**
 * Sends batch after batch until nothing is ready. Returns how many records were answered.
 *
 * If a batch is refused as a whole, or makes the server fail, smaller ones are sent until the record at fault is alone.
 * A refused record is parked with the server's reason; one that makes the server fail stays in the queue to be tried
 * another time, and the others overtake it.
 *
 * Throws Trouble if the server cannot be reached, or failed on a record; unanswered records stay in the queue
 * unchanged.
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
      if (!isRecordFault(fault)) throw fault;
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

/** With the current identity: it may have changed since the last batch. */
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
  await settle(batch, found.answers.map(knownAnswer), clock());
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

/** An answer this version knows; one of a later kind parks its record and says so, without blocking others. */
function knownAnswer(answer: Answer): Answer {
  const problems = Array.isArray(answer.problems) ? answer.problems : [];
  if (STATUSES.includes(answer.status)) return { ...answer, problems };
  const sentence = labels.common.answerUnknown(String(answer.status));
  const problem = { code: "answer_unknown", field: "", value: String(answer.status), limit: "", sentence };
  return { ...answer, status: "refused", problems: [problem, ...problems] };
}

/** The server refused a single record: it is parked with the server's reason. */
async function park(batch: OutboxEntry[], fault: Trouble, clock: () => Date): Promise<number> {
  await settle(
    batch,
    batch.map((entry) => refusal(entry, fault)),
    clock(),
  );
  return batch.length;
}

/** Whether a fault may be caused by the records, not by the network, the server's state or the sender. */
function isRecordFault(fault: unknown): fault is Trouble {
  return fault instanceof Trouble && [400, 413, 422, FAILED].includes(fault.status ?? 0);
}

function refusal(entry: OutboxEntry, fault: Trouble): Answer {
  const { id, kind, revision } = entry;
  const general = { code: fault.code, field: "", value: "", limit: "", sentence: fault.message };
  const problems = fault.problems.length > 0 ? fault.problems : [general];
  return { id, kind, revision, status: "refused", problems, content: null, expanded_uncertainty: null, region: null };
}
