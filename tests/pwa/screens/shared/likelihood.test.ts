import { likelihood } from "@/screens/shared/likelihood";

it("a likelihood never claims certainty", () => {
  expect([0, 0.004, 0.5, 0.962, 0.995, 1].map(likelihood)).toEqual([
    "less than 1 %",
    "less than 1 %",
    "50\u00a0%",
    "96\u00a0%",
    "more than 99 %",
    "more than 99 %",
  ]);
});
