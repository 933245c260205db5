import { originOf } from "@/sync/origin";

test.each([
  ["", ""],
  ["  ", ""],
  ["https://fuel.example.org", "https://fuel.example.org"],
  ["https://Fuel.Example.org/", "https://fuel.example.org"],
  ["https://fuel.example.org:8443", "https://fuel.example.org:8443"],
  ["http://localhost:8484", "http://localhost:8484"],
  ["http://fuel.example.org", null],
  ["https://fuel.example.org/path", null],
  ["https://user@fuel.example.org", null],
  ["fuel.example.org", null],
  ["javascript:alert(1)", null],
])("%j is %j", (typed, origin) => {
  expect(originOf(typed)).toBe(origin);
});
