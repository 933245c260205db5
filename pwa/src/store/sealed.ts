/** A saved test as it is sent. */

import type { Test } from "../records";
import type { OwnTest } from "../rows/test";

/** The record as it is sent: sharing is the consent. Photos that stay here are left out, and so are their marks. */
export function asSent({ test, unshared_photos = [] }: Pick<OwnTest, "test" | "unshared_photos">): Test {
  const stays = (digest: string) => unshared_photos.includes(digest);
  const runs = test.runs.map((run) => (run.marks && stays(run.marks.photo) ? { ...run, marks: null } : run));
  return { ...test, runs, photos: test.photos.filter((digest) => !stays(digest)), consent: "CC0-1.0" };
}

/** Digests of the photos sent with a test. */
export function sentPhotos(row: OwnTest): string[] {
  return asSent(row).photos;
}
