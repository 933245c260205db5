/** The words of a result: what it is, what it means, how it came about and what makes it uncertain. */
export const result = {
  title: "Result",
  live: "After the first reading the result stands here.",
  content: "Ethanol, by volume",
  coverage: (interval: string) => `The true content is ${interval} in 95 cases of 100.`,
  contradicted: "The runs or layers contradict each other, so this ± does not hold yet.",
  span: "The kind of scale is not known, so the content is a span.",
  account: "How it came about and how sure it is",
  how: "How it came about",
  asRead: "Uncorrected",
  asReadAt: (line: string) => `Uncorrected, line at ${line}`,
  total: "Ethanol content",
  step: {
    shrinkage: "Shrinkage of ethanol and water",
    temperature: "Temperatures of water, fuel and tube",
    fuel_water: "Water already in the fuel",
    method: "Formula for brine (NBR 13992)",
    calibration: "Weighed marks of this tube",
    exchange: "What the layers exchange",
    tube_offset: "Known offset of this tube",
  } as Record<string, string>,
  exchangeBasis:
    "What the layers exchange: a little petrol dissolves below, a little ethanol stays above. It is an estimate from printed solubilities; nobody has published a trial above 30\u00a0%.",
  exchangeNone: "Nothing is taken off for what the layers exchange: with brine it is not known.",
  // ASTM D5798-15 by the US DOE Alternative Fuels Data Center, "E85 Flex Fuel Specification".
  alcohols:
    "Ethanol and other alcohols: the tube cannot tell them apart. ASTM D5798 allows at most 0.5\u00a0% methanol and 2\u00a0% higher alcohols, so up to 2.5 points may not be ethanol.",
  runs: "Each run by itself",
  run: (number: number) => `Run ${number}`,
  runAside: (number: number, why: string) => `Run ${number}, set aside: ${why}`,
  byTop: (content: string) => `${content} by the top of the fuel`,
  layersAgree: ", which agrees with the line.",
  layersDiffer: ", which does not agree with the line.",
  parts: "What makes it uncertain",
  largest: (part: string, points: string) => `The largest part is ${part.toLowerCase()}: ${points} by itself.`,
  act: {
    know_scale: (left: string) => `Knowing the kind of scale would make it ±\u00a0${left}\u00a0%.`,
    calibrate_tube: (left: string) => `Weighing the marks of the tube would make it ±\u00a0${left}\u00a0%.`,
    measure_temperature: (left: string) => `Measured temperatures would make it ±\u00a0${left}\u00a0%.`,
    one_more_run: (left: string) => `One more run would make it ±\u00a0${left}\u00a0%.`,
    read_finer: (left: string) =>
      `Reading the line twice as finely, from a photo perhaps, would make it ±\u00a0${left}\u00a0%.`,
    finer_tube: (left: string) => `A tube with steps half as large would make it ±\u00a0${left}\u00a0%.`,
    other_filling: (left: string, water: string, fuel: string) =>
      `Fill ${water} of water and ${fuel} of fuel: ±\u00a0${left}\u00a0%.`,
  },
  guessed: (degrees: string, points: string) =>
    `The temperature is a guess: ${degrees} more in the tube would change the content by ${points} points.`,
  scope: {
    run: (letters: string) => `${letters} solid: new in every run, so more runs help`,
    tube: (letters: string) =>
      `${letters} hatched: the same in every run with this tube; another tube helps, or knowing this one`,
    all: (letters: string) =>
      `${letters} dotted: the same in every test; measuring temperatures and asking for the water in the fuel help, against what the layers exchange only a better table`,
  },
  eachPart: "All parts",
  partsHint: "Each part's own share, in points at 95 %. They add up as squares.",
  component: {
    water_fill: "Filling the water",
    fuel_fill: "Filling the fuel",
    line: "Reading the line",
    marks: "Marks of the tube",
    calibration: "Weighing of the marks",
    temperature: "Temperature of the tube",
    water_temperature: "Temperature of the water",
    fuel_temperature: "Temperature of the fuel",
    fuel_water: "Water in the fuel",
    exchange: "What the layers exchange",
    tube_offset: "The tube's known offset",
    scale_kind: "Kind of scale",
    scatter: "Scatter of the runs",
  } as Record<string, string>,
  warning: {
    layers_disagree: "The layers do not add up: fill error, leak, evaporation or a milky layer. Repeat the run.",
    runs_disagree: "The two runs differ more than reading can explain. Run a third: the middle one counts.",
    median_counts: "The runs differ more than reading can explain, so the middle one counts.",
    scale_unknown:
      "The kind of scale is not known, so the result covers both. Compare the heights of its steps to find out.",
    check_scale_kind: "This is above what every specification allows. Check first which scale this tube has.",
    would_freeze: "At this temperature the lower layer would be ice: is the temperature right?",
  } as Record<string, string>,
  grown: (apart: string, now: string, without: string) =>
    `The runs are ${apart} points apart. That is why the ± is ${now} points; if they agreed it would be about ${without}.`,
  minimum: (probability: string, minimum: string) =>
    `It is at or above your minimum of ${minimum} with a probability of ${probability}.`,
  verdict: {
    inside: (name: string) => `Within what ${name} allows.`,
    below: (name: string) => `Below what ${name} allows.`,
    above: (name: string) => `Above what ${name} allows.`,
    cannot_tell: (name: string) => `Whether it is within ${name} cannot be told: a limit lies within the uncertainty.`,
  },
  signed: (amount: string) => `+${amount}`,
  points: (amount: string) => `±\u00a0${amount}\u00a0points`,
  limit: { atLeast: "at least", atMost: "at most", above: "above", to: "to" },
  fault: "No content fits these figures. Check the marks, the filling and the line.",
};
