/** A test as stored on this phone, with its sync state. */

import type { Problem, Retraction, Source, Test, TestFigures } from "../records";

/**
 * The sync state of a record. private: not shared. imported: from a file, stays here until it is shared.
 * needs_position: its source has no position yet. waiting: in the outbox. sent: the server has it. held: the server has
 * it but does not count it, for the reasons in `problems`. refused: rejected; can be resent.
 */
export type SyncState = "private" | "imported" | "needs_position" | "waiting" | "sent" | "held" | "refused";

export interface SyncNote {
  state: SyncState;
  problems: Problem[];
  /** The newest revision that the server has answered, null before the first answer. */
  revision: number | null;
  answered_at: string | null;
}

export interface Replaced {
  revision: number;
  at: string;
}

/** A saved test as stored on this phone; consent is added when it is sent. */
export type SealedTest = Omit<Test, "consent">;

export interface OwnTest {
  id: string;
  source: string;
  tested_at: string;
  /** The newest revision. */
  test: SealedTest;
  /** Earlier revisions, oldest first. */
  earlier: SealedTest[];
  /** Standard uncertainty of the newest revision, %: this test's own part, and the part shared by its tube. */
  own_uncertainty: number;
  shared_uncertainty: number;
  shared: boolean;
  /** Photos of the test that stay on this phone when it is sent. */
  unshared_photos?: readonly string[];
  retracted: boolean;
  kept_at: string;
  sync: SyncNote;
  /** The content as recomputed by the server, once it answered. */
  server_content: number | null;
  server_uncertainty: number | null;
  /** Who made the test, if it came from a file; absent: this phone. Only its author's phone sends it. */
  author?: string;
  /** When earlier revisions were replaced; unknown for revisions of an earlier version. */
  replaced?: readonly Replaced[];
  /** ms that this phone's clock was behind the server's when the times were recorded; only if that was too much. */
  clock_behind?: number | null;
}

/** Somebody else's test (or one's own from another phone), from a pull. */
export interface PulledTest {
  id: string;
  source: string;
  contributor: string;
  region: string;
  received_at: string;
  revision: number;
  test: Test;
  figures: TestFigures | null;
  flags: string[];
}

export interface OutboxEntry {
  /** Position in the queue, assigned by the store. */
  sequence?: number;
  kind: "source" | "test";
  id: string;
  revision: number;
  source: string;
  record: Source | Test | Retraction;
  /** 1: refused and parked until the person tries again. */
  parked: 0 | 1;
  /** Set just before each attempt: from then on the server may have the record. */
  tried_at: string | null;
}
