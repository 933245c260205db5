/** The person's own records as they were sent. */

import type { OwnRecords } from "../records";
import { applyWhole } from "../store/cursor";
import { identity } from "../store/identity";
import { type Client, Trouble } from "./client";

/** The server's limit for one request. */
const AT_ONCE = 50;

/**
 * Asks for the person's own records sent by another phone with the same secret: a pull has only the public version,
 * without times of day and weighed marks. owed: their ids. Returns whether the server sent them. Throws Trouble.
 */
export async function askForOwn(client: Client, owed: readonly string[]): Promise<boolean> {
  for (let from = 0; from < owed.length; from += AT_ONCE) {
    const asked = owed.slice(from, from + AT_ONCE);
    const found = await ownRecords(client, asked);
    if (found === null) return false;
    await applyWhole(found.changes, asked);
  }
  return true;
}

/** null: the server is of an earlier version, or rejects our secret; we may still pull. */
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
