/** A can of superethanol with a content from a test. */

import type { CanRow } from "@/rows/can";

export const can: CanRow = {
  ...{ id: "c", name: "Red can", capacity: 20, volume: 18, content: 80, expanded_uncertainty: 2 },
  ...{ source: "s", test: "t", tested_at: "2026-03-01T10:00:00Z", filled_at: "2026-03-02T10:00:00Z" },
  ...{ opened_humid_at: null, retest_days: 14, emptied_at: null },
};
