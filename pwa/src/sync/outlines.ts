/** Brings the outlines of regions, once each, and again when the server has drawn them anew. */

import type { RegionOutline } from "../records";
import type { OutlineRow } from "../rows/outline";
import { settings } from "../state/signals";
import { keepOutlines, readOutline, regionsWithoutOutline } from "../store/outlines";
import { Client, Trouble } from "./client";

/** Requests of one exchange: the rest comes with the next ones. */
const MOST = 60;
/** Kept together, so that the map is not drawn anew for each. */
const TOGETHER = 15;

/** tag: of the server's outlines, undefined where it has none to give. Never throws for the network's sake. */
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
      await keepOutlines(rows);
    }
  }
}

/** Asks for a region that has no name here yet. Without an answer its code stands for it; never throws for that. */
export async function learnRegion(code: string): Promise<void> {
  if ((await readOutline(code)) !== undefined) return;
  try {
    const row = await outlineOf(new Client(settings.value.server), code, "");
    if (row.name !== code) await keepOutlines([row]);
  } catch (fault) {
    if (!(fault instanceof Trouble)) throw fault;
  }
}

/** Throws Trouble, but not for a region that the server does not know: asked again it would not know it either. */
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
