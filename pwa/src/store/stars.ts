/** Starred sources, and the state of each when the list was viewed. Private to the phone, never sent. */

import { type Known, type LastFill, type News, newsOf, seenStateOf } from "../model/news";
import type { FiguresRow } from "../rows/source";
import type { Star, StarRow, Stars } from "../rows/star";
import type { OwnTest } from "../rows/test";
import { announce } from "./changes";
import type { Exchange, Identity } from "./facts";
import { keep } from "./keep";
import { mergedInto, representativeOf } from "./merges";
import { write } from "./open";
import { counts, dateOf, NAMELESS } from "./readings";
import type { Place, Writing } from "./schema";
import { starsIn } from "./starred";
import { isBy } from "./tests";

/** ms: views of the list that are closer together are one visit, whose news stays on the screen. */
const VISIT = 3_600_000;
const PLACES: Place[] = ["settings", "merged", "figures", "own_tests", "pulled_tests"];

/** Stars a source, or removes the star from it and from all sources merged into it. */
export async function setStar(source: string, starred: boolean, now: Date): Promise<void> {
  await keep(PLACES, async (writing) => {
    const facts = writing.objectStore("settings");
    const stars = { ...(await starsIn(facts)) };
    if (starred) {
      const looked = await stateAt(writing, source, null, now);
      stars[source] ??= { starred_at: now.toISOString(), seen: looked.state, looked: looked.state };
    } else {
      for (const id of await mergedInto(writing.objectStore("merged"), source)) delete stars[id];
    }
    await facts.put(stars, "stars");
  });
  announce("settings");
}

/** Saves the current state of the starred sources, and returns what changed since the previous visit, by source. */
export function viewStars(now: Date): Promise<ReadonlyMap<string, readonly News[]>> {
  return write(PLACES, async (writing) => {
    const facts = writing.objectStore("settings");
    const noted: Record<string, Star> = {};
    const news = new Map<string, readonly News[]>();
    for (const [id, star] of Object.entries(await starsIn(facts))) {
      const { source, known, state } = await stateAt(writing, id, star.looked, now);
      const isNext = star.looked !== null && now.getTime() - Date.parse(star.looked.at) > VISIT;
      const seen = isNext ? star.looked : (star.seen ?? state);
      noted[id] = { ...star, seen, looked: state ?? star.looked };
      if (known !== null) news.set(source, newsOf(known, seen, now));
    }
    // No screen shows this, so it is not announced.
    await facts.put(noted, "stars");
    return news;
  });
}

/** As stored in a log file. */
export function starRows(stars: Stars = {}): StarRow[] {
  return Object.entries(stars).map(([source, { starred_at }]) => ({ source, starred_at }));
}

/** Adds the stars from a file that are new here; returns how many. */
export async function importStars(writing: Writing, rows: readonly StarRow[]): Promise<number> {
  const facts = writing.objectStore("settings");
  const here = await starsIn(facts);
  const fresh = rows.filter(({ source }) => !Object.hasOwn(here, source));
  const taken = fresh.map(({ source, starred_at }) => [source, { starred_at, seen: null, looked: null }] as const);
  if (taken.length > 0) await facts.put({ ...here, ...Object.fromEntries(taken) }, "stars");
  return taken.length;
}

interface Looked {
  source: string;
  /** null: the source is no longer on this phone. */
  known: Known | null;
  /** null until this phone has pulled everything: the first pull would make everything news. */
  state: Star["looked"];
}

async function stateAt(writing: Writing, asked: string, before: Star["looked"], now: Date): Promise<Looked> {
  const merged = writing.objectStore("merged");
  const source = await representativeOf(merged, asked);
  const row = await writing.objectStore("figures").get(source);
  if (row === undefined) return { source, known: null, state: null };
  const facts = writing.objectStore("settings");
  const ids = await mergedInto(merged, source);
  const [own, pulled] = await Promise.all([
    Promise.all(ids.map((id) => writing.objectStore("own_tests").index("by_source").getAll(id))),
    Promise.all(ids.map((id) => writing.objectStore("pulled_tests").index("by_source").getAll(id))),
  ]);
  const mine = new Set(own.flat().map((test) => test.id));
  const tests = pulled.flat().filter(({ id, figures, test }) => !mine.has(id) && figures && test.sampled === "pump");
  const identity = (await facts.get("identity")) as Identity | undefined;
  const fill = lastFill(own.flat(), row, identity?.contributor ?? null);
  const known = { tests: tests.length, figures: row.figures, fill };
  const exchange = (await facts.get("exchange")) as Exchange | undefined;
  return { source, known, state: exchange?.succeeded_at ? seenStateOf(known, before, now) : null };
}

/** The person's newest test from the pump, unless its visit is treated as a gross error. */
function lastFill(tests: readonly OwnTest[], { figures }: FiguresRow, self: string | null): LastFill | null {
  const wrong = figures?.wrong?.filter((one) => one.contributor === (self ?? NAMELESS)).map(({ at }) => dateOf(at));
  const fills = tests.filter((row) => counts(row) && isBy(row, self) && row.test.sampled === "pump");
  const last = fills.sort((a, b) => Date.parse(a.test.sampled_at) - Date.parse(b.test.sampled_at)).at(-1)?.test;
  if (last === undefined || wrong?.includes(dateOf(last.sampled_at))) return null;
  const { sampled_at, content, expanded_uncertainty } = last;
  return { sampled_at, content, expanded_uncertainty };
}
