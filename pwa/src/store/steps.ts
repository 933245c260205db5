/** The versions of the phone's storage. */

import type { Base, Upgrading } from "./schema";
import { marked } from "./stale";
import { wholeTube } from "./tube-row";

/** One step per version, from version 0 on. Steps only add and are never deleted or changed (old phones need them). */
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
    // What was pulled before passed over merges: the next pull begins anew.
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
    // Figures of before know of no gross error, nor how uncertain a season is.
    const figures = transaction.objectStore("figures");
    void figures.getAll().then((rows) => Promise.all(rows.map((row) => figures.put({ ...row, ...marked(row) }))));
  },
  (_base, transaction) => {
    // New ids of one day sort by chance. And figures of before counted visits by the minute.
    transaction.objectStore("own_tests").createIndex("by_kept", "kept_at");
    const figures = transaction.objectStore("figures");
    void figures.getAll().then((rows) => Promise.all(rows.map((row) => figures.put({ ...row, ...marked(row) }))));
  },
];
