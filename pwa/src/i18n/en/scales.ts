import type { Scale } from "../../records";

/** The kinds of scale: what each is called, how one knows it, and how a result read on it begins where it is passed on. */
export const scales: Record<Scale, { label: string; hint: string; passedOn: string }> = {
  volume: {
    label: "Millilitres",
    hint: "Plain graduations, for example 0 to 100 mL.",
    passedOn: "Read in millilitres",
  },
  linear: {
    label: "Per cent, evenly spaced",
    hint: "Every step has the same height. Such a scale ignores that ethanol and water shrink when they mix; the app corrects for it.",
    passedOn: "Read on an evenly spaced per cent scale",
  },
  corrected: {
    label: "Per cent, corrected for shrinkage",
    hint: "The steps change height along the tube, or the maker says it shows the ethanol content itself.",
    passedOn: "Read on a per cent scale corrected for shrinkage",
  },
  unknown: {
    label: "Per cent, kind not known",
    hint: "Until you know, results are shown as a range about 6 points wide at 85 %.",
    passedOn: "Read on a per cent scale of unknown kind",
  },
};
