/** A test as this phone keeps it, and how it stands with the server. */

import type { Problem, Retraction, Source, Test, TestFigures } from "../records";

/**
 * Where a record stands between this phone and the server.
 * private: not shared. imported: from a file, stays here until it is shared. needs_position: its source has no position yet. waiting: in the outbox. sent: the server keeps
 * it. held: kept there but not counted, for the reasons in `problems`. refused: not taken; can be tried again.
 */
export type SyncState = "private" | "imported" | "needs_position" | "waiting" | "sent" | "held" | "refused";

export interface SyncNote {
  state: SyncState;
  problems: Problem[];
  /** The newest revision the server answered for, null before the first answer. */
  revision: number | null;
  answered_at: string | null;
}

export interface Replaced {
  revision: number;
  at: string;
}

/** A kept test as this phone holds it: consent is given when it is sent. */
export type SealedTest = Omit<Test, "consent">;

export interface OwnTest {
  id: string;
  source: string;
  tested_at: string;
  /** The newest revision. */
  test: SealedTest;
  /** Earlier revisions, oldest first. */
  earlier: SealedTest[];
  /** Standard uncertainty of the newest revision, %: the part of this test alone, and the part its tube shares. */
  own_uncertainty: number;
  shared_uncertainty: number;
  shared: boolean;
  /** Photos of the test that stay on this phone when it is sent. */
  unshared_photos?: readonly string[];
  retracted: boolean;
  kept_at: string;
  sync: SyncNote;
  /** The server's own recomputation, once it answered. */
  server_content: number | null;
  server_uncertainty: number | null;
  /** Who made the test, where it came in a file; absent: this phone. Only its author's phone sends it. */
  author?: string;
  /** When earlier revisions were replaced; not known of what an earlier version did. */
  replaced?: readonly Replaced[];
  /** ms that this phone's clock was behind the server's when the times were written; only where that is too much. */
  clock_behind?: number | null;
}

/** A test of somebody else (or of one's own on another phone), from a pull. */
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
  /** Order of the queue, given by the store. */
  sequence?: number;
  kind: "source" | "test";
  id: string;
  revision: number;
  source: string;
  record: Source | Test | Retraction;
  /** 1: refused and parked until the person tries again. */
  parked: 0 | 1;
  /** Set just before each sending: from then on the server may know the record. */
  tried_at: string | null;
}
