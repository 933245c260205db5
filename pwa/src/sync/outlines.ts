/** Fetches the outlines of regions, once each, and again when the server has new ones. */

import type { RegionOutline } from "../records";
import type { OutlineRow } from "../rows/outline";
import { settings } from "../state/signals";
import { readOutline, regionsWithoutOutline, saveOutlines } from "../store/outlines";
import { Client, Trouble } from "./client";

/** Requests in one exchange: the rest follow in the next ones. */
const MOST = 60;
/** Saved in groups, so that the map is not redrawn for each. */
const TOGETHER = 15;

/** tag: version of the server's outlines, undefined if it has none. Never throws network errors. */
export async function learnOutlines(client: Client, tag: string | undefined): Promise<void> {
  if (tag === undefined) return;
  const wanted = (await regionsWithoutOutline(tag)).slice(0, MOST);
  for (let at = 0; at < wanted.length; at += TOGETHER) {
    const rows: OutlineRow[] = [];
    try {
      for (const code of wanted.slice(at, at + TOGETHER)) rows.push(await outlineOf(client, code, tag));
    } catch (fault) {
      if (!(fault instanceof Trouble)) throw fault;
      return;
    } finally {
      await saveOutlines(rows);
    }
  }
}

/** Asks for a region whose name is unknown here. Without an answer its code is shown; never throws for that. */
export async function learnRegion(code: string): Promise<void> {
  if ((await readOutline(code)) !== undefined) return;
  try {
    const row = await outlineOf(new Client(settings.value.server), code, "");
    if (row.name !== code) await saveOutlines([row]);
  } catch (fault) {
    if (!(fault instanceof Trouble)) throw fault;
  }
}

/** Throws Trouble, except for a region unknown to the server: asking again would not help. */
async function outlineOf(client: Client, code: string, tag: string): Promise<OutlineRow> {
  try {
    const path = `/api/v1/regions/${encodeURIComponent(code)}/outline`;
    const { properties, geometry } = await client.json<RegionOutline>({ path });
    if (typeof properties?.name !== "string" || geometry === undefined) throw new Trouble("not_understood");
    return { code, name: properties.name, tag, geometry };
  } catch (fault) {
    if (fault instanceof Trouble && fault.status === 404) return { code, name: code, tag, geometry: null };
    throw fault;
  }
}
