// How entries change a run: a photo, a reading by eye, a reading from the photo.

import { EMPTY_RUN, withRun } from "@/model/progress";
import type { PhotoMarks } from "@/records";
import type { TubeRow } from "@/rows/tube";
import { wholeTube } from "@/rows/tube";
import { byEye, fromPhoto, withPhoto, withRuns } from "@/screens/test/run-entry";
import { newDraft } from "@/store/drafts";
import { DEFAULTS } from "@/store/settings";
import { NOW } from "../../helpers/examples";

const tube: TubeRow = wholeTube({
  id: "018f0000-0000-7000-8000-000000000001",
  name: "100 mL tube",
  scale: "volume",
  graduation: 1,
  liquid: "water",
  tolerance: null,
  water_mark: 50,
  fuel_mark: 100,
  made_at: "2026-01-01T00:00:00Z",
  put_away: false,
});
const at = (y: number) => ({ x: 100, y });
const marks: PhotoMarks = {
  photo: "ab",
  bottom_volume: 10,
  bottom: at(900),
  water: at(500),
  fuel: at(0),
  line: at(112),
};
const filled = { ...EMPTY_RUN, water: 50, fuel: 50, photo: "ab" };
const read = { ...filled, line: 88.8, line_half_width: 0.3, marks };

describe("a reading from the photo", () => {
  it("is the volume on a scale in millilitres", () => {
    expect(fromPhoto(tube, filled, 88.7912, 0.283, marks)).toEqual({
      line: 88.79,
      percent: null,
      line_half_width: 0.28,
      marks,
    });
  });

  // 88.8 mL over 50 + 50 mL: 77.6 on a linear scale; 84.0 on a corrected one, by hand from OIML R 22.
  it("is what the tube's own scale would show", () => {
    const shown = (scale: "linear" | "corrected") => fromPhoto({ ...tube, scale }, filled, 88.8, 0.3, marks);
    expect(shown("linear")).toMatchObject({ line: null, percent: 77.6, line_half_width: 0.3 });
    expect(shown("corrected")?.percent).toBeCloseTo(84.0, 1);
  });

  it("is missing while the kind of scale or the filling is unknown", () => {
    expect(fromPhoto({ ...tube, scale: "unknown" }, filled, 88.8, 0.3, marks)).toBeNull();
    expect(fromPhoto(tube, EMPTY_RUN, 88.8, 0.3, marks)).toBeNull();
  });

  it("has a half-width above zero", () => {
    expect(fromPhoto(tube, filled, 88.8, 0.004, marks)?.line_half_width).toBe(0.004);
  });
});

describe("a reading from the photo is replaced", () => {
  it("by a reading by eye, which needs no marks", () => {
    expect(byEye(tube, 88.5)).toEqual({ line: 88.5, percent: null, line_half_width: null, marks: null });
    expect(byEye({ ...tube, scale: "linear" }, 77)).toMatchObject({ line: null, percent: 77 });
  });

  it("by a different filling, but not by the same one entered again", () => {
    expect(withRun([read], 0, { water: 50, fuel: 50 })[0]).toMatchObject({ marks, line_half_width: 0.3 });
    expect(withRun([read], 0, { water: 49, fuel: 51 })[0]).toMatchObject({ marks: null, line_half_width: null });
  });

  it("by another photo, but the number stays", () => {
    const draft = { ...newDraft(DEFAULTS, NOW), runs: [read], photos: ["ab"] };
    const without = withPhoto(draft, 0, null);
    expect(without.photos).toEqual([]);
    expect(without.runs[0]).toMatchObject({ line: 88.8, marks: null, line_half_width: null, photo: null });
    expect(withPhoto(draft, 0, "ab").runs[0]).toMatchObject({ marks });
  });
});

describe("the photos of a test", () => {
  it("are the photos of its runs, each once", () => {
    const draft = { ...newDraft(DEFAULTS, NOW), runs: [read, { ...filled, photo: null }], photos: ["ab"] };
    const both = withPhoto(draft, 1, "cd");
    expect(both.photos).toEqual(["ab", "cd"]);
    expect(withRuns(both.runs.slice(1)).photos).toEqual(["cd"]);
    expect(withPhoto(draft, 1, "ab").photos).toEqual(["ab"]);
  });
});
