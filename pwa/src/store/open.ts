/**
 * The one opener of IndexedDB.
 *
 * iOS kills the connection of a page in the background, and another tab may ask for a newer schema; so nobody holds
 * the handle: `run` hands it out, drops it when it is dead, opens it again and tries once more. Work given to `run` is
 * therefore written so that doing it twice is doing it once.
 */

import { signal } from "@preact/signals";
import { type OpenDBCallbacks, openDB } from "idb";
import type { Base, Place, Schema, Writing } from "./schema";
import { STEPS } from "./steps";

export const DATABASE = "splitline";

/** ms without an answer after which storage counts as stuck. */
const PATIENCE = 20_000;

/**
 * What the person has to be told about storage. old_tab: another tab with an older version must be closed.
 * new_tab: another tab brought a newer version; this one must be loaded again. lost: storage does not answer.
 */
export type StorageTrouble = "old_tab" | "new_tab" | "lost";

/** Here and not with the view state, which stands above the store. */
export const trouble = signal<StorageTrouble | null>(null);

export class StorageLost extends Error {
  override name = "StorageLost";
}

/** The phone's storage belongs to a newer version now; `trouble` says so, and nothing here can read or write it. */
export class StorageReplaced extends Error {
  override name = "StorageReplaced";
}

/** A variable of this module: a page has one IndexedDB, itself a global, and nobody else may hold its connection. */
let handle: Promise<Base> | null = null;

/** Does `work` with the database; once more with a fresh connection when the connection turned out to be dead. */
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

/** Lets go of the connection; the next `run` opens a new one. */
export function close(): void {
  // Not waited for: an opening that is stuck would never answer.
  handle?.then((base) => base.close()).catch(() => undefined);
  handle = null;
}

/**
 * One writing transaction over `places`; resolves when it has completed, which is what "kept" means.
 * Anything thrown inside undoes all of it. lasting: on the disk, not only in the system's memory, before it resolves.
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

/** True for the errors with which browsers report a connection that is gone. */
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
