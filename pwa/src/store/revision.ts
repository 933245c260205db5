/** A further revision of a saved test: the former one stays beside it, with the moment at which it was replaced. */

import type { OwnTest, SealedTest } from "../rows/test";

/** The row with this as its newest revision, one higher than the last. */
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
