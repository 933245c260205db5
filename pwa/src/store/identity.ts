/** This phone's identity for the server: a secret made on the phone, no account. */

import { bound, pseudonym } from "../identity";
import { bytesOf, newId, randomBytes, sha256, toHex } from "../ids";
import type { Change } from "../records";
import { announce } from "./changes";
import type { Identity } from "./facts";
import { keep } from "./keep";
import { run } from "./open";

const SECRET = /^[0-9a-f]{64}$/;

/** The phone's identity, created when first needed. Two tabs asking at once get the same. */
export async function identity(): Promise<Identity> {
  const found = await run((base) => base.get("settings", "identity"));
  if (found !== undefined) return found as Identity;
  const made = await identityOf(toHex(randomBytes(32)));
  return keep(["settings"], async (writing) => {
    const store = writing.objectStore("settings");
    const first = (await store.get("identity")) as Identity | undefined;
    if (first === undefined) await store.put(made, "identity");
    return first ?? made;
  });
}

/** contributor: the first 16 hex digits of SHA-256(SHA-256(secret)); the server stores only SHA-256(secret). */
export async function identityOf(secret: string): Promise<Identity> {
  if (!SECRET.test(secret)) throw new RangeError("a secret is 64 lower-case hex digits");
  return { secret, contributor: toHex(await sha256(await sha256(bytesOf(secret)))).slice(0, 16) };
}

/** A new id for a record that may be sent: bound to this phone's secret, so that nobody else can claim it. */
export async function recordId(now: Date): Promise<string> {
  return bound(newId(now.getTime()), await digestOf(await identity()));
}

/**
 * The pulled changes, with this phone's id in place of its public names. Those differ by region and year: other people
 * are counted as a different person in each, this phone always as the same one.
 */
export async function recognised(changes: readonly Change[], who: Identity | undefined): Promise<Change[]> {
  if (who === undefined) return [...changes];
  const digest = await digestOf(who);
  const names = new Map<string, string>();
  const found: Change[] = [];
  for (const change of changes) {
    const year = yearOf(change);
    const place = `${change.region} ${year}`;
    const name = names.get(place) ?? (await pseudonym(digest, change.region, year));
    names.set(place, name);
    found.push(change.contributor === name ? { ...change, contributor: who.contributor } : change);
  }
  return found;
}

/** The year that a contributor's name is for; any year if there is no name. */
function yearOf({ record }: Change): number {
  const { sampled_at, recorded_at }: { sampled_at?: string; recorded_at?: string } = record ?? {};
  return Number((sampled_at ?? recorded_at ?? "").slice(0, 4));
}

async function digestOf({ secret }: Identity): Promise<string> {
  return toHex(await sha256(bytesOf(secret)));
}

/** Takes over another phone's identity. Everything is pulled again, because some of it is now the person's own. */
export async function takeIdentity(secret: string): Promise<Identity> {
  const taken = await identityOf(secret);
  await keep(["settings"], async (writing) => {
    await writing.objectStore("settings").put(taken, "identity");
    await writing.objectStore("settings").delete("cursor");
  });
  announce("settings");
  return taken;
}
