"""Rows on the sheet's phone beyond what is entered by hand: tests in every state, vehicles, cans."""

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

LINE = ("88.8", "89.0")
REGION = "FR-63"
WORDING = Path(__file__).parents[2] / "server" / "splitline" / "checking" / "wording.json"


@dataclass(frozen=True)
class Filled:
    """Ids of rows on the phone; by default none exist."""

    source: str = "none"
    tube: str = "none"
    can: str = "none"
    test: str = "none"
    states: dict[str, str] = field(default_factory=dict)

    def addressed(self, address: str) -> str:
        """The address with an id in place of its star."""
        ids = {"source": self.source, "tubes": self.tube, "fuel": self.can, "region": REGION}
        ids |= dict.fromkeys(("log", "test"), self.test)
        return address.replace("*", ids.get(address.split("/")[0], ""))


def filling() -> dict[str, Any]:
    """The states to create, each with the server's own sentence."""
    wording = json.loads(WORDING.read_text(encoding="utf-8"))

    def problem(code: str) -> dict[str, str]:
        sentence = wording[code]["en"].replace("{limit}", "2").replace("{value}", "84.4")
        return {"code": code, "field": "runs", "value": "84.4", "limit": "2", "sentence": sentence}

    return {
        "states": {
            "private": ["private", []],
            "needs_position": ["needs_position", []],
            "held": ["held", [problem("out_of_line")]],
            "refused": ["refused", [problem("source_unknown")]],
            "conflict": ["refused", [problem("conflict")]],
        }
    }


# Copies of the saved test in every state, a day apart; two vehicles and two cans, one due for a test.
FILL = """async ({ states }) => {
  const asked = (request) => new Promise((give, refuse) => {
    request.onsuccess = () => give(request.result);
    request.onerror = () => refuse(request.error);
  });
  const base = await asked(indexedDB.open("splitline"));
  const writing = base.transaction(["own_tests", "cans", "fills", "settings", "tubes"], "readwrite");
  const tests = writing.objectStore("own_tests");
  const [first] = await asked(tests.getAll());
  const made = {};
  let at = 0;
  for (const [name, [state, problems]] of Object.entries(states)) {
    at += 1;
    const earlier = (time) => new Date(Date.parse(time) - at * 86_400_000).toISOString();
    const id = first.id.slice(0, -12) + at.toString(16).padStart(12, "0");
    const moved = { id, sampled_at: earlier(first.test.sampled_at), tested_at: earlier(first.test.tested_at) };
    const sync = { state, problems, revision: null, answered_at: problems.length ? first.kept_at : null };
    const test = { ...first.test, ...moved };
    tests.put({ ...first, id, tested_at: moved.tested_at, test, sync, shared: state !== "private" });
    made[name] = id;
  }
  const now = Date.now();
  const can = {
    id: "can-1", name: "Blue can", capacity: 20, volume: 14, content: 83.7, expanded_uncertainty: 1.5,
    source: first.source, test: first.id, tested_at: new Date(now - 40 * 86_400_000).toISOString(),
    filled_at: new Date(now - 40 * 86_400_000).toISOString(), opened_humid_at: null, retest_days: 28, emptied_at: null,
  };
  writing.objectStore("cans").put(can);
  writing.objectStore("cans").put({ ...can, id: "can-2", name: "Old can", emptied_at: new Date(now).toISOString() });
  const tank = {
    capacity: 60, volume: 22, content: 41.5, expanded_uncertainty: 2.1, changed_at: new Date(now).toISOString(),
  };
  const blue = { ...tank, id: "vehicle-1", name: "Blue hatchback", sensor: true, minimum: 80 };
  const van = { ...tank, id: "vehicle-2", name: "Van", sensor: false, minimum: 40, content: null };
  writing.objectStore("settings").put({ in_use: "vehicle-1", rows: [blue, van] }, "vehicles");
  const known = { content: 78, expanded_uncertainty: 2.2 };
  const part = { volume: 30, ...known, source: first.source, name: "Col des Lauzes", from: "estimate" };
  for (const at of [1, 2, 3, 4]) {
    writing.objectStore("fills").put({
      id: `fill-${at}`, vehicle: "vehicle-1", filled_at: new Date(now - (5 - at) * 9 * 86_400_000).toISOString(),
      added: [{ ...part, test: null, water: null }], before: { volume: 12, content: 71, expanded_uncertainty: 3 },
      after: { volume: 42, content: 74 + at, expanded_uncertainty: 2 }, sensed: 76 + 3.5 * at, note: "",
    });
  }
  const [tube] = await asked(writing.objectStore("tubes").getAll());
  await new Promise((give) => { writing.oncomplete = give; });
  base.close();
  return { source: first.source, tube: tube.id, can: can.id, test: first.id, states: made };
}"""
