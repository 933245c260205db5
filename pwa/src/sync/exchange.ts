/** One exchange with the server: push, pull, send photos; and a record of its outcome. */

import type { Compute } from "../compute";
import { behindBy } from "../model/clock";
import type { Health, Tiles } from "../records";
import { server, settings } from "../state/signals";
import { noteClock } from "../store/clock";
import { readFact, writeFact } from "../store/settings";
import { Client, FAILED, Trouble } from "./client";
import { drain } from "./outbox";
import { learnOutlines } from "./outlines";
import { sendPhotos } from "./photos";
import { pull } from "./pull";
import { learnTubes } from "./tubes";
import { learnWeights } from "./weights";

const LOCK = "splitline exchange";

/**
 * Exchanges with the server unless another tab is doing so. Returns whether it succeeded (null: another tab does it).
 * Never throws network errors.
 */
export async function exchange(clock: () => Date, compute: Compute): Promise<Trouble | null | undefined> {
  if (typeof navigator === "undefined" || !("locks" in navigator)) return once(clock, compute);
  // Sending twice is harmless: the lock only saves work.
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) =>
    lock === null ? undefined : once(clock, compute),
  );
}

async function once(clock: () => Date, compute: Compute): Promise<Trouble | null> {
  server.value = { ...server.value, busy: true };
  const trouble = await attempt(clock, compute);
  const tried_at = clock().toISOString();
  const before = await readFact("exchange");
  const succeeded_at = trouble === null ? tried_at : (before?.succeeded_at ?? null);
  await writeFact("exchange", { succeeded_at, tried_at, trouble: trouble?.code ?? null });
  server.value = { ...server.value, busy: false };
  return trouble;
}

async function attempt(clock: () => Date, compute: Compute): Promise<Trouble | null> {
  const client = new Client(settings.value.server);
  try {
    const health = await checkServer(client, clock);
    const refused = await drain(client, clock).then(() => null, canStillPull);
    await learnWeights(client);
    await pull(client, clock, compute);
    // After a server was restored from a backup, the lost records are sent again.
    if (refused === null) await drain(client, clock);
    if (refused === null) await learnTubes(client, clock());
    await sendPhotos(client);
    await learnOutlines(client, health.outlines);
    return refused;
  } catch (fault) {
    if (fault instanceof Trouble) return fault;
    throw fault;
  } finally {
    server.value = { ...server.value, busy: false };
  }
}

/** If a server rejects our secret, or fails on one of our records, we may still pull. */
function canStillPull(fault: unknown): Trouble {
  if (fault instanceof Trouble && (fault.code === "not_admitted" || fault.status === FAILED)) return fault;
  throw fault;
}

/**
 * Saves what kind of server this is: whether its data is an invented demo, how far its clock is from ours, whether it
 * has map tiles.
 */
async function checkServer(client: Client, clock: () => Date): Promise<Health> {
  const asked = clock().getTime();
  const health = await client.json<Health>({ path: "/healthz", patience: 10_000 });
  const answered = clock();
  const behind = behindBy(client.said, asked, answered.getTime());
  if (behind !== null) await noteClock(behind, answered);
  const demo = health.invented === true;
  if (demo !== server.value.demo) await writeFact("demo", demo);
  await noteTiles(client, health.tiles ?? null);
  return health;
}

/** The page's policy allows only what the server it came from has named. */
async function noteTiles(client: Client, offered: Tiles | null): Promise<void> {
  const tiles = client.origin === "" ? offered : null;
  const known = (await readFact("tiles")) ?? null;
  if (known?.address !== tiles?.address || known?.attribution !== tiles?.attribution) await writeFact("tiles", tiles);
}
