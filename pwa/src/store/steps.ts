/** The versions of the phone's storage. */

import type { Settings } from "../rows/settings";
import { wholeTube } from "../rows/tube";
import { firstVehicle, type Tank } from "../rows/vehicle";
import type { Base, Upgrading } from "./schema";
import { marked } from "./stale";

/** One step per version, from version 0 on. Steps are only added, never changed: old phones need them. */
export const STEPS: readonly ((base: Base, transaction: Upgrading) => void)[] = [
  (base) => {
    const own = base.createObjectStore("own_tests", { keyPath: "id" });
    own.createIndex("by_source", "source");
    own.createIndex("by_photo", "test.photos", { multiEntry: true });
    base.createObjectStore("pulled_tests", { keyPath: "id" }).createIndex("by_source", "source");
    base.createObjectStore("sources", { keyPath: "id" });
    base.createObjectStore("figures", { keyPath: "source" }).createIndex("by_stale", "stale");
    base.createObjectStore("drafts");
    base.createObjectStore("tubes", { keyPath: "id" });
    base.createObjectStore("cans", { keyPath: "id" });
    base.createObjectStore("photos", { keyPath: "digest" }).createIndex("by_state", "state");
    const outbox = base.createObjectStore("outbox", { keyPath: "sequence", autoIncrement: true });
    outbox.createIndex("by_record", ["kind", "id"], { unique: true });
    outbox.createIndex("by_parked", "parked");
    base.createObjectStore("settings");
  },
  (_base, transaction) => {
    transaction.objectStore("own_tests").createIndex("by_tube", "test.tube.id");
    const tubes = transaction.objectStore("tubes");
    void tubes.getAll().then((rows) => Promise.all(rows.map((row) => tubes.put(wholeTube(row)))));
  },
  (base, transaction) => {
    base.createObjectStore("merged", { keyPath: "source" }).createIndex("by_into", "into");
    // Earlier pulls ignored merges, so the next pull starts from the beginning.
    void transaction.objectStore("settings").delete("cursor");
  },
  (base) => {
    base.createObjectStore("plans", { keyPath: "source" });
  },
  (_base, transaction) => {
    transaction.objectStore("pulled_tests").createIndex("by_region", "region");
  },
  (_base, transaction) => {
    for (const place of ["own_tests", "pulled_tests"] as const) {
      transaction.objectStore(place).createIndex("by_time", ["source", "test.sampled_at"]);
    }
  },
  (_base, transaction) => {
    const tubes = transaction.objectStore("tubes");
    void tubes.getAll().then((rows) => Promise.all(rows.map((row) => tubes.put(wholeTube(row)))));
  },
  (_base, transaction) => {
    // Earlier figures lack gross errors and the uncertainty of the season.
    void markAll(transaction);
  },
  (_base, transaction) => {
    // New ids of one day sort in random order. And earlier figures counted visits by the minute.
    transaction.objectStore("own_tests").createIndex("by_kept", "kept_at");
    void markAll(transaction);
  },
  (base) => {
    base.createObjectStore("outlines", { keyPath: "code" });
  },
  (_base, transaction) => {
    void toVehicles(transaction);
  },
  (base, transaction) => {
    base.createObjectStore("fills", { keyPath: "id" }).createIndex("by_vehicle", "vehicle");
    // Earlier figures modelled the season as a walk of steps, and took the fuel to be as old as the visit.
    void markAll(transaction);
  },
];

/** All figures are recomputed when they are next needed. */
async function markAll(transaction: Upgrading): Promise<void> {
  const figures = transaction.objectStore("figures");
  const rows = await figures.getAll();
  await Promise.all(rows.map((row) => figures.put({ ...row, ...marked(row) })));
}

/** The single tank and minimum become the first vehicle. */
async function toVehicles(transaction: Upgrading): Promise<void> {
  const facts = transaction.objectStore("settings");
  const tank = (await facts.get("tank")) as Tank | undefined;
  const { own_minimum = null, ...settings } = ((await facts.get("settings")) ?? {}) as Partial<Settings>;
  const vehicles = firstVehicle(tank ?? null, own_minimum);
  if (vehicles === null) return;
  await facts.put(vehicles, "vehicles");
  await facts.put(settings, "settings");
  await facts.delete("tank");
}
