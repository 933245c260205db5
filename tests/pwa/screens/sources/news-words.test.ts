import type { News } from "@/model/news";
import { newsWords } from "@/screens/sources/news-words";
import { plain } from "../../helpers/mount";

const SINCE = "2026-09-03T09:00:00.000Z";
const said = (news: News) => plain(newsWords(news));

test("each change has its day and figures with their uncertainty", () => {
  expect(said({ what: "tests", since: SINCE, tests: 2 })).toMatch(/3 Sept?.*2 tests/);
  expect(said({ what: "change", at: "2026-09-10T12:00:00Z", direction: "up" })).toMatch(/10 Sept?/);
  const fill = { sampled_at: "2026-08-12T10:00:00Z", content: 84.34, expanded_uncertainty: 1.9 };
  const fell = said({ what: "fill", direction: "down", fill, next: [72, 78] });
  for (const figure of ["12 Aug", "84.3 ± 1.9 %", "72 to 78 %"]) expect(fell).toContain(figure);
  const rose = said({ what: "level", direction: "up", since: SINCE, before: [70.2, 73.9], now: [74, 77.1] });
  for (const figure of ["3 Sep", "70.2 to 73.9 %", "74.0 to 77.1 %"]) expect(rose).toContain(figure);
});

test("rises and falls are worded differently", () => {
  const told = (["up", "down"] as const).map((direction) =>
    said({ what: "level", direction, since: SINCE, before: [70, 73], now: [74, 77] }),
  );
  expect(new Set(told).size).toBe(2);
});
