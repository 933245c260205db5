/** Who this phone is to the server: a secret made on the phone, no account. */

import { randomBytes, sha256, toHex } from "../ids";
import { announce } from "../store/changes";
import { keep } from "../store/keep";
import { run } from "../store/open";
import type { Identity } from "../store/settings";

const SECRET = /^[0-9a-f]{64}$/;

/** The phone's identity; made when first asked for. Two tabs asking at once get the same. */
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

/** contributor: the first 16 hex digits of SHA-256(SHA-256(secret)); the server keeps SHA-256(secret) only. */
export async function identityOf(secret: string): Promise<Identity> {
  if (!SECRET.test(secret)) throw new RangeError("a secret is 64 lower-case hex digits");
  const bytes = Uint8Array.from(secret.match(/../g) as string[], (pair) => Number.parseInt(pair, 16));
  return { secret, contributor: toHex(await sha256(await sha256(bytes))).slice(0, 16) };
}

/** Takes over the identity of another phone. What was fetched is fetched anew: some of it is one's own now. */
export async function takeIdentity(secret: string): Promise<Identity> {
  const taken = await identityOf(secret);
  await keep(["settings"], async (writing) => {
    await writing.objectStore("settings").put(taken, "identity");
    await writing.objectStore("settings").delete("cursor");
  });
  announce("settings");
  return taken;
}
