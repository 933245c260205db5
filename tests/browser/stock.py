"""Direct access to the phone's storage: reads rows for checks, and adds copies of rows that the app made."""

from typing import Any

from playwright.sync_api import Page

OPENED = """
const opened = () => new Promise((resolve, reject) => {
  const asked = indexedDB.open("splitline");
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
const answered = (asked) => new Promise((resolve, reject) => {
  asked.onsuccess = () => resolve(asked.result);
  asked.onerror = () => reject(asked.error);
});
const done = (writing) => new Promise((resolve, reject) => {
  writing.oncomplete = () => resolve();
  writing.onabort = () => reject(writing.error);
});
"""
EVERY = """async ([place]) => {
  const base = await opened();
  const rows = await answered(base.transaction(place).objectStore(place).getAll());
  base.close();
  return rows;
}"""
COUNT = """async ([place]) => {
  const base = await opened();
  const count = await answered(base.transaction(place).objectStore(place).count());
  base.close();
  return count;
}"""
# A transaction on all stores runs after every earlier one.
TURN = """async () => {
  const base = await opened();
  const writing = base.transaction([...base.objectStoreNames], "readwrite");
  writing.objectStore(base.objectStoreNames[0]).count();
  await done(writing);
  base.close();
}"""
# Copies the newest own test, each an hour earlier, queued if the original is.
REPEAT = """async ([times, from, sources]) => {
  const base = await opened();
  const writing = base.transaction(["own_tests", "outbox"], "readwrite");
  const [tests, outbox] = [writing.objectStore("own_tests"), writing.objectStore("outbox")];
  const first = (await answered(tests.getAll())).at(-1);
  const queued = (await answered(outbox.getAll())).find((one) => one.id === first.id);
  for (let at = from; at < from + times; at += 1) {
    const earlier = (time) => new Date(Date.parse(time) - at * 3_600_000).toISOString();
    const id = first.id.slice(0, -12) + at.toString(16).padStart(12, "0");
    const place = at % sources;
    const source = place === 0 ? first.source : first.source.slice(0, -12) + place.toString(16).padStart(12, "0");
    const moved = {
      id,
      source,
      sampled_at: earlier(first.test.sampled_at),
      tested_at: earlier(first.test.tested_at),
      photos: [],
      runs: first.test.runs.map((run) => ({ ...run, marks: null })),
    };
    const test = { ...first.test, ...moved };
    tests.put({ ...first, id, source, tested_at: test.tested_at, test });
    if (queued) {
      const { sequence, ...entry } = queued;
      outbox.add({ ...entry, id, source, record: { ...entry.record, ...moved } });
    }
  }
  await done(writing);
  base.close();
}"""
# Random pictures under their real digests.
PICTURES = """async ([states, bytes]) => {
  const base = await opened();
  const rows = await Promise.all(states.map(async (state, at) => {
    const content = new Uint8Array(bytes);
    for (let place = 0; place < bytes; place += 65_536) crypto.getRandomValues(content.subarray(place, place + 65_536));
    const found = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
    const digest = Array.from(found, (byte) => byte.toString(16).padStart(2, "0")).join("");
    const made_at = new Date(Date.UTC(2026, 0, 1 + at)).toISOString();
    return { digest, type: "image/jpeg", bytes: content.buffer, width: 1, height: 1, made_at, state, problem: "" };
  }));
  const writing = base.transaction(["photos"], "readwrite");
  for (const row of rows) writing.objectStore("photos").put(row);
  await done(writing);
  base.close();
  return rows.map((row) => row.digest);
}"""


def ask(page: Page, function: str, *arguments: Any) -> Any:
    """Run one of the functions above in the page."""
    return page.evaluate(f"(arguments) => {{ {OPENED} return ({function})(arguments); }}", list(arguments))


def wait_for_writers(page: Page) -> None:
    """Wait until all writes in progress are on disk."""
    ask(page, TURN)


def rows(page: Page, place: str) -> list[dict[str, Any]]:
    """Return all rows of a store."""
    return list(ask(page, EVERY, place))


def count(page: Page, place: str) -> int:
    """Return how many rows a store has."""
    return int(ask(page, COUNT, place))


def repeat_newest(page: Page, times: int, start: int = 1, sources: int = 1) -> None:
    """Save copies of the newest test, hour by hour into the past, queued if it is queued.

    sources: how many to alternate between; the further ones are numbered in the last part of their id.
    """
    ask(page, REPEAT, times, start, sources)


def keep_pictures(page: Page, states: list[str], size: int) -> list[str]:
    """Save one picture of this size in bytes for each state, oldest first; return their digests."""
    return list(ask(page, PICTURES, states, size))
