import { createHash } from "node:crypto";
import { identity, identityOf, takeIdentity } from "@/store/identity";

test("the contributor is the start of SHA-256 of SHA-256 of the secret, as Node computes it", async () => {
  const secret = "00ff".repeat(16);
  const once = createHash("sha256").update(Buffer.from(secret, "hex")).digest();
  const twice = createHash("sha256").update(once).digest("hex");
  expect(await identityOf(secret)).toEqual({ secret, contributor: twice.slice(0, 16) });
});

test("the identity is made once, even for simultaneous requests, and persists", async () => {
  const [first, second] = await Promise.all([identity(), identity()]);
  expect(first.secret).toMatch(/^[0-9a-f]{64}$/);
  expect(second).toEqual(first);
  expect(await identity()).toEqual(first);
});

test("the identity can be taken over from a recovery file with a whole secret", async () => {
  await identity();
  const secret = "5a".repeat(32);
  await takeIdentity(secret);
  expect((await identity()).secret).toBe(secret);
  await expect(takeIdentity("5a")).rejects.toThrow(RangeError);
  await expect(takeIdentity("5A".repeat(32))).rejects.toThrow(RangeError);
  expect((await identity()).secret).toBe(secret);
});
