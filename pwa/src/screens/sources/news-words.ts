/** What changed at a source, in sentences with figures. */

import { labels } from "../../i18n";
import { count, interval, shortDay, withUncertainty } from "../../i18n/format";
import type { News } from "../../model/news";

export function newsWords(news: News): string {
  const words = labels.sources;
  const { stars } = words;
  switch (news.what) {
    case "tests":
      return stars.tests(count(news.tests, words.oneTest, words.manyTests), shortDay(news.since));
    case "change":
      return stars.change(words.levelSince(news.direction, shortDay(news.at)));
    case "fill": {
      const { content, expanded_uncertainty, sampled_at } = news.fill;
      const then = withUncertainty(content, expanded_uncertainty);
      return stars.fill(news.direction, shortDay(sampled_at), then, interval(news.next));
    }
    case "level":
      return stars.level(
        news.direction,
        shortDay(news.since),
        interval(news.before, "%", 1),
        interval(news.now, "%", 1),
      );
  }
}
