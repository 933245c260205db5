import * as fc from "fast-check";
import { newId, uuid7 } from "@/ids";

test("reproduces the UUIDv7 of RFC 9562, appendix A.6", () => {
  // 2022-02-22T19:22:22.00Z, rand_a CC3, rand_b 18C4DC0C0C07398F.
  const random = Uint8Array.from([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  expect(uuid7(Date.UTC(2022, 1, 22, 19, 22, 22), random)).toBe("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

test("has the form the server requires, and sorts by time", () => {
  const pattern = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 2 ** 47 }), fc.uint8Array({ minLength: 10, maxLength: 10 }), (at, random) => {
      const id = uuid7(at, random);
      expect(id).toMatch(pattern);
      expect(uuid7(at + 1, random) > id).toBe(true);
    }),
  );
});

test("no two ids are the same", () => {
  const ids = new Set(Array.from({ length: 1000 }, () => newId(0)));
  expect(ids.size).toBe(1000);
});

test("reveals the day it was made, not the time", () => {
  const day = Date.UTC(2026, 2, 12);
  for (const passed of [0, 1, 50_700_123, 86_399_999]) {
    expect(
      Number.parseInt(
        newId(day + passed)
          .replaceAll("-", "")
          .slice(0, 12),
        16,
      ),
    ).toBe(day);
  }
});
