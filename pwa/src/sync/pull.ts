/** Brings what others sent, page by page, in the server's own order. */

import { settings } from "../live";
import type { OwnRecords, Pulled } from "../records";
import { queueAgain } from "../store/again";
import { applyPage, applyWhole, readCursor, readOwed } from "../store/cursor";
import { refreshFigures } from "../store/figures";
import { identity, recognised } from "../store/identity";
import { readFact } from "../store/settings";
import { type Client, Trouble } from "./client";

const PAGE = 500;
/** Records of one's own that are asked for at once. */
const OWN = 50;

/**
 * Pulls until there is no more, then computes what has changed. Gives how many changes came. Throws Trouble.
 *
 * Where the server has forgotten what this phone has seen, all of one's own is queued to be sent again.
 */
export async function pull(client: Client, clock: () => Date): Promise<number> {
  // A pull that stopped between writing and computing left stale rows behind.
  await refreshFigures(clock());
  const { regions } = settings.value;
  let cursor = await readCursor(client.origin, regions);
  let fresh = cursor === null;
  let count = 0;
  for (let more = true; more; ) {
    const page = await onePage(client, cursor, regions).catch((fault) => {
      if (!(fault instanceof Trouble && fault.code === "cursor_expired") || fresh) throw fault;
      return null;
    });
    if (page === null) await queueAgain();
    const at = (next: string) => ({ server: client.origin, cursor: next, regions });
    const brought = async ({ changes, cursor: next }: Pulled) =>
      applyPage(await recognised(changes, await readFact("identity")), at(next), fresh);
    if (page === null || !(await brought(page))) {
      cursor = null;
      fresh = true;
      continue;
    }
    more = page.more && page.cursor !== cursor;
    cursor = page.cursor;
    fresh = false;
    count += page.changes.length;
  }
  if ((await askForOwn(client)) || count > 0) await refreshFigures(clock());
  return count;
}

/**
 * Asks for records of one's own that another phone with the same secret sent: the pull has them as everyone sees them,
 * without times of day and what was weighed of a tube. Gives whether there were any. Throws Trouble.
 */
async function askForOwn(client: Client): Promise<boolean> {
  const owed = await readOwed();
  for (let from = 0; from < owed.length; from += OWN) {
    const asked = owed.slice(from, from + OWN);
    const found = await ownRecords(client, asked);
    if (found === null) return false;
    await applyWhole(found.changes, asked);
  }
  return owed.length > 0;
}

/** null: the server is of an earlier version, or does not accept our secret; it may still be read. */
async function ownRecords(client: Client, ids: readonly string[]): Promise<OwnRecords | null> {
  const { secret } = await identity();
  try {
    const found = await client.json<OwnRecords>({ path: `/api/v1/own?ids=${ids.join(",")}`, secret });
    if (!Array.isArray(found.changes)) throw new Trouble("not_understood");
    return found;
  } catch (fault) {
    if (fault instanceof Trouble && (fault.status === 404 || fault.code === "not_admitted")) return null;
    throw fault;
  }
}

async function onePage(client: Client, cursor: string | null, regions: readonly string[]): Promise<Pulled> {
  const query = new URLSearchParams({ limit: String(PAGE) });
  if (cursor !== null) query.set("cursor", cursor);
  if (regions.length > 0) query.set("region", regions.join(","));
  const page = await client.json<Pulled>({ path: `/api/v1/pull?${query}` });
  if (!Array.isArray(page.changes) || typeof page.cursor !== "string") throw new Trouble("not_understood");
  return page;
}
