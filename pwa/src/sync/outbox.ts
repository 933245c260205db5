/** Sends what waits, oldest first. Safe to do twice; a lock keeps two tabs from doing it at once. */

import { labels } from "../labels";
import type { Answer, AnswerStatus } from "../records";
import { markTried, nextBatch, settle } from "../store/outbox";
import type { OutboxEntry } from "../store/schema";
import { type Client, Trouble } from "./client";

interface PushAnswer {
  answers: Answer[];
  received_at: string;
}

/**
 * Sends batch after batch until nothing is ready. Gives how many records were answered for.
 * Throws Trouble when the server cannot be reached; what was not answered for stays in the queue as it was.
 */
export async function drain(client: Client, secret: string, clock: () => Date): Promise<number> {
  let answered = 0;
  for (;;) {
    const batch = await nextBatch();
    if (batch.length === 0) return answered;
    answered += await send(client, secret, batch, clock);
  }
}

async function send(client: Client, secret: string, batch: OutboxEntry[], clock: () => Date): Promise<number> {
  await markTried(batch, clock());
  try {
    const body = JSON.stringify({ records: batch.map((entry) => entry.record), sent_at: clock().toISOString() });
    const found = await client.json<PushAnswer>({
      method: "POST",
      path: "/api/v1/push",
      body,
      type: "application/json",
      secret,
    });
    if (!isAnswerFor(found, batch)) throw new Trouble("not_understood");
    await settle(batch, found.answers.map(known), clock());
    return batch.length;
  } catch (fault) {
    if (!isRefusal(fault)) throw fault;
    return alone(client, secret, batch, fault, clock);
  }
}

function isAnswerFor(found: PushAnswer, batch: OutboxEntry[]): boolean {
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
  const sentence = labels.log.answerUnknown(String(answer.status));
  const problem = { code: "answer_unknown", field: "", value: String(answer.status), limit: "", sentence };
  return { ...answer, status: "refused", problems: [problem, ...problems] };
}

/**
 * The server refused the batch as a whole: it is halved until the record that spoils it stands alone and is parked
 * with what the server said.
 */
async function alone(client: Client, secret: string, batch: OutboxEntry[], fault: Trouble, clock: () => Date) {
  if (batch.length > 1) {
    const half = Math.ceil(batch.length / 2);
    const first = await send(client, secret, batch.slice(0, half), clock);
    return first + (await send(client, secret, batch.slice(half), clock));
  }
  await settle(
    batch,
    batch.map((entry) => refusal(entry, fault)),
    clock(),
  );
  return batch.length;
}

/** Status codes that speak of what was sent, not of the server's state or of who sends. */
function isRefusal(fault: unknown): fault is Trouble {
  return fault instanceof Trouble && (fault.status === 400 || fault.status === 413 || fault.status === 422);
}

function refusal(entry: OutboxEntry, fault: Trouble): Answer {
  const { id, kind, revision } = entry;
  const general = { code: fault.code, field: "", value: "", limit: "", sentence: fault.message };
  const problems = fault.problems.length > 0 ? fault.problems : [general];
  return { id, kind, revision, status: "refused", problems, content: null, expanded_uncertainty: null, region: null };
}
