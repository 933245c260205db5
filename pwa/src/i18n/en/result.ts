/** Labels of a result: what it is, what it means, how it was computed and what makes it uncertain. */

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

export const result = {
  title: "Result",
  live: "The result appears here after the first reading.",
  content: "Ethanol, by volume",
  coverage: (interval: string) => `95 % confident: ${interval}.`,
  contradicted: "The runs or layers contradict each other, so the ± cannot be trusted yet.",
  span: "The kind of scale is not known, so the content is a range.",
  account: "How we got this and how certain it is",
  how: "How we got this",
  asRead: "Uncorrected",
  asReadAt: (line: string) => `Uncorrected (line at ${line})`,
  total: "Ethanol content",
  step: {
    shrinkage: "Shrinkage of ethanol and water",
    temperature: "Water, fuel and tube temperatures",
    fuel_water: "Water already in the fuel",
    method: "Formula for brine (NBR 13992)",
    calibration: "Weighed marks of this tube",
    exchange: "What the layers exchange",
    tube_offset: "Known offset of this tube",
  } as Record<string, string>,
  exchangeBasis:
    "What the layers exchange: a little gasoline dissolves into the lower layer, a little ethanol stays in the upper one. It is an estimate from published solubilities; nobody has published a trial above 30\u00a0%.",
  exchangeNone: "Not corrected for what the layers exchange: with brine it is not known.",
  // ASTM D5798-15 by the US DOE Alternative Fuels Data Center, "E85 Flex Fuel Specification".
  alcohols:
    "Ethanol and other alcohols: the tube cannot tell them apart. ASTM D5798 allows at most 0.5\u00a0% methanol and 2\u00a0% higher alcohols, so up to 2.5 points may not be ethanol.",
  runs: "Each run alone",
  run: (number: number) => `Run ${number}`,
  runAside: (number: number, why: string) => `Run ${number}, set aside: ${why}`,
  byTop: (content: string) => `${content} from the top of the fuel`,
  layersAgree: ", which agrees with the line.",
  layersDiffer: ", which does not agree with the line.",
  parts: "What makes it uncertain",
  largest: (part: string, points: string) => `The largest part is ${part.toLowerCase()}: ${points} on its own.`,
  act: {
    know_scale: (left: string) => `Knowing the kind of scale would make it ±\u00a0${left}\u00a0%.`,
    calibrate_tube: (left: string) => `Weighing the tube's marks would make it ±\u00a0${left}\u00a0%.`,
    measure_temperature: (left: string) => `Measuring the temperatures would make it ±\u00a0${left}\u00a0%.`,
    one_more_run: (left: string) => `One more run would make it ±\u00a0${left}\u00a0%.`,
    read_finer: (left: string) =>
      `Reading the line twice as finely, perhaps from a photo, would make it ±\u00a0${left}\u00a0%.`,
    finer_tube: (left: string) => `A tube with steps half the size would make it ±\u00a0${left}\u00a0%.`,
    other_filling: (left: string, water: string, fuel: string) =>
      `Filling ${water} of water and ${fuel} of fuel would make it ±\u00a0${left}\u00a0%.`,
  },
  guessed: (degrees: string, points: string) =>
    `The temperature is an estimate: ${degrees} more in the tube would change the content by ${points} points.`,
  scope: {
    run: (letters: string) => `${letters} solid: changes run to run, more runs help`,
    tube: (letters: string) =>
      `${letters} hatched: the same in every run with this tube; another tube helps, or knowing this one better`,
    all: (letters: string) =>
      `${letters} dotted: the same in every test; it helps to measure temperatures and to ask how much water is in the fuel; for what the layers exchange, only a better table helps`,
  },
  partsHint: "Each part's own share, in points at 95 %. They add up as squares.",
  component: {
    water_fill: "Filling the water",
    fuel_fill: "Filling the fuel",
    line: "Reading the line",
    marks: "Marks of the tube",
    calibration: "Weighing the marks",
    temperature: "Tube temperature",
    water_temperature: "Water temperature",
    fuel_temperature: "Fuel temperature",
    fuel_water: "Water in the fuel",
    exchange: "What the layers exchange",
    tube_offset: "The tube's known offset",
    scale_kind: "Kind of scale",
    scatter: "Scatter of the runs",
  } as Record<string, string>,
  warning: {
    layers_disagree: "The layers do not add up: a filling error, leak, evaporation or a milky layer. Repeat the run.",
    runs_disagree: "The runs differ by more than reading error. Do a third run; the median will be used.",
    median_counts: "The runs differ by more than reading error, so the median is used.",
    scale_unknown:
      "The kind of scale is not known, so the result covers both kinds. Compare the heights of its steps to find out.",
    check_scale_kind: "This is above what any specification allows. Check first which scale this tube has.",
    would_freeze: "At this temperature the lower layer would be ice. Is the temperature right?",
  } as Record<string, string>,
  grown: (apart: string, now: string, without: string) =>
    `The runs are ${apart} points apart, so the ± is ${now} points; if they agreed it would be about ${without}.`,
  minimum: (probability: string, minimum: string) => `${capital(probability)} likely to meet your ${minimum} minimum.`,
  verdict: {
    inside: (name: string) => `Within what ${name} allows.`,
    below: (name: string) => `Below what ${name} allows.`,
    above: (name: string) => `Above what ${name} allows.`,
    cannot_tell: (name: string) => `Too close to a limit of ${name} to say.`,
  },
  points: (amount: string) => `±\u00a0${amount}\u00a0points`,
  limit: { atLeast: "at least", atMost: "at most", above: "above", to: "to" },
  fault: "No content fits these figures. Check the marks, the filling and the line.",
};
