/**
 * The only module that opens IndexedDB.
 *
 * iOS closes the connection of a page in the background, and another tab may need a newer schema. So nobody keeps the
 * connection: `run` passes it to the caller, drops it when it is dead, opens a new one and tries once more. Work passed
 * to `run` must therefore be idempotent.
 */

import { signal } from "@preact/signals";
import { type OpenDBCallbacks, openDB } from "idb";
import type { Base, Place, Schema, Writing } from "./schema";
import { STEPS } from "./steps";

export const DATABASE = "splitline";

/** ms without an answer after which storage counts as stuck. */
const PATIENCE = 20_000;

/**
 * Storage trouble to show to the person. old_tab: another tab with an older version must be closed. new_tab: another
 * tab has a newer version; this one must be reloaded. lost: storage does not answer.
 */
export type StorageTrouble = "old_tab" | "new_tab" | "lost";

/** Here and not with the view state, which stands above the store. */
export const trouble = signal<StorageTrouble | null>(null);

export class StorageLost extends Error {
  override name = "StorageLost";
}

/** A newer version has upgraded the phone's storage; `trouble` says so, and this page can no longer use it. */
export class StorageReplaced extends Error {
  override name = "StorageReplaced";
}

/** A variable of this module: a page has one IndexedDB, itself a global, and nobody else may hold its connection. */
let handle: Promise<Base> | null = null;

/** Runs `work` with the database, and once more with a new connection if the connection was dead. */
export async function run<T>(work: (base: Base) => Promise<T>): Promise<T> {
  try {
    return await patient(attempt(work));
  } catch (fault) {
    if (isNewer(fault)) {
      trouble.value = "new_tab";
      throw new StorageReplaced("a newer version has this phone's storage");
    }
    if (!isDead(fault)) throw fault;
    close();
  }
  try {
    const result = await patient(attempt(work));
    if (trouble.value === "lost") trouble.value = null;
    return result;
  } catch (fault) {
    if (isDead(fault)) trouble.value = "lost";
    throw fault;
  }
}

/** Closes the connection; the next `run` opens a new one. */
export function close(): void {
  // Not awaited: an open request that is stuck would never answer.
  handle?.then((base) => base.close()).catch(() => undefined);
  handle = null;
}

/**
 * One write transaction over `places`; resolves when it has completed, which is what "saved" means. Any error rolls it
 * back. lasting: flushed to the disk, not only to the system's memory, before it resolves.
 */
export function write<T>(places: Place[], work: (writing: Writing) => Promise<T>, lasting = false): Promise<T> {
  return run(async (base) => {
    const writing = base.transaction(places, "readwrite", { durability: lasting ? "strict" : "default" });
    const done = writing.done;
    done.catch(() => undefined);
    try {
      const result = await work(writing);
      await done;
      return result;
    } catch (fault) {
      abort(writing);
      throw fault;
    }
  });
}

async function attempt<T>(work: (base: Base) => Promise<T>): Promise<T> {
  handle ??= open();
  const mine = handle;
  try {
    return await work(await mine);
  } catch (fault) {
    if (isDead(fault) && handle === mine) handle = null;
    throw fault;
  }
}

function open(): Promise<Base> {
  const callbacks: OpenDBCallbacks<Schema> = {
    upgrade(base, from, _to, transaction) {
      for (const step of STEPS.slice(from)) step(base, transaction);
    },
    blocked() {
      trouble.value = "old_tab";
    },
    blocking(_current, _blocked, event) {
      (event.target as IDBDatabase).close();
      handle = null;
      trouble.value = "new_tab";
    },
    terminated() {
      handle = null;
    },
  };
  const opening = openDB<Schema>(DATABASE, STEPS.length, callbacks);
  opening.then(
    () => {
      if (trouble.value === "old_tab") trouble.value = null;
    },
    () => {
      if (handle === opening) handle = null;
    },
  );
  return opening;
}

function abort(writing: Writing): void {
  try {
    writing.abort();
  } catch {
    // Already ended by the browser.
  }
}

function isNewer(fault: unknown): boolean {
  return fault instanceof DOMException && fault.name === "VersionError";
}

/** True for the errors with which browsers report a lost connection. */
function isDead(fault: unknown): boolean {
  if (fault instanceof StorageLost) return true;
  if (!(fault instanceof DOMException)) return false;
  return fault.name === "InvalidStateError" || fault.name === "UnknownError" || /connection/i.test(fault.message);
}

function patient<T>(answer: Promise<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new StorageLost("storage does not answer")), PATIENCE);
    answer.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
