/**
 * Applies what a pull says about the person's own tests: held or counted, changed or withdrawn on another phone of the
 * same person.
 */

import type { Problem, Test, TestChange } from "../records";
import type { OwnTest, SealedTest } from "../rows/test";
import type { Facts } from "./facts";
import type { Writing } from "./schema";

/**
 * Updates an own test from a change; returns its source if the figures may change, else null. whole: the change has the
 * record as it was sent. A pull has the public version: if the record is new here, the full one will be requested.
 */
export async function applyOwn(
  writing: Writing,
  change: TestChange,
  self: string | null,
  whole: boolean,
): Promise<string | null> {
  const tests = writing.objectStore("own_tests");
  const row = await tests.get(change.id);
  if (!whole && isNews(row, change, self)) {
    await owe(writing, change.id);
    return null;
  }
  const next = row === undefined ? adopted(change, self) : stepped(row, change);
  if (next === null || next === row) return null;
  await tests.put(next);
  return next.source;
}

function isNews(row: OwnTest | undefined, change: TestChange, self: string | null): boolean {
  if (change.record === null) return false;
  if (row === undefined) return change.contributor === self;
  const isSettled = ["sent", "held", "imported"].includes(row.sync.state);
  return isSettled && !row.retracted && change.record.revision > row.test.revision;
}

/** Notes that the full version of one of the person's own records must be requested. */
export async function owe(writing: Writing, id: string): Promise<void> {
  const settings = writing.objectStore("settings");
  const owed = ((await settings.get("owed")) ?? []) as Facts["owed"];
  await settings.put([...new Set([...owed, id])], "owed");
}

/** A test sent by another phone with the same secret is added here as the person's own. */
function adopted(change: TestChange, self: string | null): OwnTest | null {
  const { record: test } = change;
  if (test === null || change.contributor !== self || change.figures === null) return null;
  return {
    id: test.id,
    source: test.source,
    tested_at: test.tested_at,
    test: unsent(test),
    earlier: [],
    own_uncertainty: change.figures.own_uncertainty,
    shared_uncertainty: change.figures.shared_uncertainty,
    shared: true,
    retracted: false,
    kept_at: change.received_at,
    sync: {
      state: change.state === "counted" ? "sent" : "held",
      problems: change.state === "counted" ? [] : reasons([], change.flags),
      revision: change.revision,
      answered_at: change.received_at,
    },
    server_content: change.figures.content,
    server_uncertainty: change.figures.expanded_uncertainty,
  };
}

function stepped(row: OwnTest, change: TestChange): OwnTest {
  // Its author's phone has sent the test that came here in a file.
  const isSentElsewhere = row.sync.state === "imported" && change.revision >= row.test.revision;
  if (!isSentElsewhere) return settled(row, change);
  return settled({ ...row, shared: true, sync: { ...row.sync, state: "sent", revision: change.revision } }, change);
}

function settled(row: OwnTest, change: TestChange): OwnTest {
  // An unsent revision is newer than the server's.
  const isSettled = row.sync.state === "sent" || row.sync.state === "held";
  if (row.retracted || !isSettled) return row;
  if (change.retracted) return { ...row, retracted: true, sync: { ...row.sync, state: "sent", problems: [] } };
  if (change.revision < row.test.revision) return row;
  const state = change.state === "counted" ? "sent" : "held";
  const problems = state === "sent" ? [] : reasons(row.sync.problems, change.flags);
  const next = revised(row, change);
  const isSame = next === row && state === row.sync.state && problems.length === row.sync.problems.length;
  return isSame ? row : { ...next, sync: { ...next.sync, state, problems } };
}

/** Why a test does not count: the server's reasons when it was sent, and the codes added since. */
function reasons(known: Problem[], codes: readonly string[]): Problem[] {
  const blank = { field: "", value: "", limit: "", sentence: "" };
  return codes.map((code) => known.find((one) => one.code === code) ?? { ...blank, code });
}

function revised(row: OwnTest, change: TestChange): OwnTest {
  const { record: test } = change;
  if (test === null || test.revision <= row.test.revision) return row;
  const sync = { ...row.sync, revision: test.revision };
  const { source, tested_at } = test;
  const { figures } = change;
  return {
    ...row,
    // The public record lacks what stays on this phone.
    test: { ...unsent(test), photos: [...test.photos, ...(row.unshared_photos ?? [])] },
    source,
    tested_at,
    earlier: [...row.earlier, row.test],
    replaced: [...(row.replaced ?? []), { revision: row.test.revision, at: change.received_at }],
    clock_behind: null,
    ...(figures !== null && {
      own_uncertainty: figures.own_uncertainty,
      shared_uncertainty: figures.shared_uncertainty,
      server_content: figures.content,
      server_uncertainty: figures.expanded_uncertainty,
    }),
    sync,
  };
}

function unsent({ consent: _, ...test }: Test): SealedTest {
  return test;
}
