/** Adds a revision to a saved test: the old one stays, with the time at which it was replaced. */

import type { OwnTest, SealedTest } from "../rows/test";

/** The row with this test as its newest revision, numbered one higher. */
export function withRevision(row: OwnTest, test: SealedTest, now = new Date()): OwnTest {
  const { revision } = row.test;
  return {
    ...row,
    source: test.source,
    tested_at: test.tested_at,
    test: { ...test, revision: revision + 1 },
    earlier: [...row.earlier, row.test],
    replaced: [...(row.replaced ?? []), { revision, at: now.toISOString() }],
  };
}
