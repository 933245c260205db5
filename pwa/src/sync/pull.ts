/** Pulls other people's records, page by page, in the server's order. */

import type { Compute } from "../compute";
import type { Pulled } from "../records";
import { settings } from "../state/signals";
import { applyPage, readCursor, readOwed } from "../store/cursor";
import { refreshFigures } from "../store/figures";
import { recognised } from "../store/identity";
import { queueResend } from "../store/resend";
import { readFact } from "../store/settings";
import { type Client, Trouble } from "./client";
import { askForOwn } from "./own";

const PAGE = 500;

/**
 * Pulls until there is no more, then computes what has changed. Returns the number of changes. Throws Trouble.
 *
 * If the server has lost what this phone has seen, all of the person's own records are queued again.
 */
export async function pull(client: Client, clock: () => Date, compute: Compute): Promise<number> {
  // A pull that stopped between writing and computing has left stale rows.
  await refreshFigures(clock(), compute);
  const { regions } = settings.value;
  let cursor = await readCursor(client.origin, regions);
  let fresh = cursor === null;
  let count = 0;
  for (let more = true; more; ) {
    const page = await onePage(client, cursor, regions).catch((fault) => {
      if (!(fault instanceof Trouble && fault.code === "cursor_expired") || fresh) throw fault;
      return null;
    });
    if (page === null) await queueResend();
    const at = (next: string) => ({ server: client.origin, cursor: next, regions });
    const write = async ({ changes, cursor: next }: Pulled) =>
      applyPage(await recognised(changes, await readFact("identity")), at(next), fresh);
    if (page === null || !(await write(page))) {
      cursor = null;
      fresh = true;
      continue;
    }
    more = page.more && page.cursor !== cursor;
    cursor = page.cursor;
    fresh = false;
    count += page.changes.length;
  }
  const owed = await readOwed();
  if ((owed.length > 0 && (await askForOwn(client, owed))) || count > 0) await refreshFigures(clock(), compute);
  return count;
}

async function onePage(client: Client, cursor: string | null, regions: readonly string[]): Promise<Pulled> {
  const query = new URLSearchParams({ limit: String(PAGE) });
  if (cursor !== null) query.set("cursor", cursor);
  if (regions.length > 0) query.set("region", regions.join(","));
  const page = await client.json<Pulled>({ path: `/api/v1/pull?${query}` });
  if (!Array.isArray(page.changes) || typeof page.cursor !== "string") throw new Trouble("not_understood");
  return page;
}
