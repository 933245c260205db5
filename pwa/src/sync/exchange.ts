/** One exchange with the server: send, bring, send photos; and the note of how it went. */

import { behindBy } from "../clock";
import { server, settings } from "../live";
import type { Health } from "../records";
import { noteClock } from "../store/clock";
import { readFact, writeFact } from "../store/settings";
import { Client, FAILED, Trouble } from "./client";
import { drain } from "./outbox";
import { sendPhotos } from "./photos";
import { pull } from "./pull";
import { learnTubes } from "./tubes";
import { learnWeights } from "./weights";

const LOCK = "splitline exchange";

/**
 * Exchanges with the server unless another tab is at it. Gives whether it went through (null: another tab does it).
 * Never throws for the network's sake.
 */
export async function exchange(clock: () => Date): Promise<Trouble | null | undefined> {
  if (typeof navigator === "undefined" || !("locks" in navigator)) return once(clock);
  // Sending twice is harmless, so the lock saves work and is no condition.
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => (lock === null ? undefined : once(clock)));
}

async function once(clock: () => Date): Promise<Trouble | null> {
  server.value = { ...server.value, busy: true };
  const trouble = await attempt(clock);
  const tried_at = clock().toISOString();
  const before = await readFact("exchange");
  const succeeded_at = trouble === null ? tried_at : (before?.succeeded_at ?? null);
  await writeFact("exchange", { succeeded_at, tried_at, trouble: trouble?.code ?? null });
  server.value = { ...server.value, busy: false };
  return trouble;
}

async function attempt(clock: () => Date): Promise<Trouble | null> {
  const client = new Client(settings.value.server);
  try {
    await askKind(client, clock);
    const refused = await drain(client, clock).then(() => null, stillReads);
    await learnWeights(client);
    await pull(client, clock);
    // A server that was put back from a backup is sent again what it lost.
    if (refused === null) await drain(client, clock);
    if (refused === null) await learnTubes(client, clock());
    await sendPhotos(client);
    return refused;
  } catch (fault) {
    if (fault instanceof Trouble) return fault;
    throw fault;
  } finally {
    server.value = { ...server.value, busy: false };
  }
}

/** A server that does not accept our secret, or fails over one of our records, may still be read. */
function stillReads(fault: unknown): Trouble {
  if (fault instanceof Trouble && (fault.code === "not_admitted" || fault.status === FAILED)) return fault;
  throw fault;
}

/** Remembers whether the server's data are an invented demo, and how far this phone's clock is from the server's. */
async function askKind(client: Client, clock: () => Date): Promise<void> {
  const asked = clock().getTime();
  const health = await client.json<Health>({ path: "/healthz", patience: 10_000 });
  const answered = clock();
  const behind = behindBy(client.said, asked, answered.getTime());
  if (behind !== null) await noteClock(behind, answered);
  const demo = health.invented === true;
  if (demo !== server.value.demo) await writeFact("demo", demo);
}
