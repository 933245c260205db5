import { codeOf, secretIn, spelled } from "@/model/secret-text";

const SECRET = "0123456789abcdef".repeat(4);

test("a secret that is shown, scanned or typed is read back", () => {
  expect(codeOf(SECRET)).toMatch(/^SPLITLINE [0-9A-F]{64}$/);
  expect(secretIn(codeOf(SECRET))).toBe(SECRET);
  expect(spelled(SECRET)).toHaveLength(64 + 15);
  expect(secretIn(spelled(SECRET))).toBe(SECRET);
  expect(secretIn(`  splitline\n${SECRET.toUpperCase()} `)).toBe(SECRET);
});

test("anything else is not a secret", () => {
  for (const text of ["", SECRET.slice(1), `${SECRET}0`, SECRET.replace("0", "g"), "https://fuel.example.org"]) {
    expect(secretIn(text)).toBeNull();
  }
});
