// @vitest-environment happy-dom
import * as fc from "fast-check";
import { parse, startRouter, to } from "@/state/router";
import { path } from "@/state/signals";

test("an address and its parts convert both ways", () => {
  expect(parse("#/source/0195-7")).toEqual(["source", "0195-7"]);
  expect(parse("")).toEqual(["test"]);
  expect(parse("#/")).toEqual(["test"]);
  expect(parse("#/a%zz")).toEqual(["a%zz"]);
  fc.assert(
    fc.property(fc.array(fc.string({ minLength: 1, unit: "grapheme" }), { minLength: 1, maxLength: 4 }), (parts) => {
      expect(parse(to(...parts))).toEqual(parts);
    }),
  );
});

test("an address changed before the app listens is shown", () => {
  location.hash = "#/log";
  path.value = ["test"];
  startRouter();
  expect(path.value).toEqual(["log"]);
});
