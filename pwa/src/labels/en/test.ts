/** The words of the Test place: the run sheet, from the source to the kept test. */

import { result } from "./result";

export const test = {
  title: "Test",
  lead: "One sheet, top to bottom. Every entry is saved as you make it.",
  startedAt: (moment: string) => `Sheet started ${moment}`,
  clear: "Clear this sheet",
  clearBack: "Go on with it",
  busyAsk: "A sheet is under way",
  busyWhat: "It belongs to another sample. Begin a new one here and lose it, or go on with it?",
  busyNew: "Begin a new sheet",
  saveFault: "This entry could not be saved on the phone. Free some space, then change it once more.",
  loading: "Fetching your sheet…",
  change: "Change",
  goOn: "Go on",
  ready: "Ready",
  readyAct: "Do it now",
  stage: (number: number, title: string) => `${number}. ${title}`,

  source: {
    title: "Source",
    ask: "Where does the fuel come from?",
    find: "Name or pump",
    near: "Nearest first",
    recent: "Find me to see the nearest first",
    locate: "Find where I am",
    locating: "Finding where you are…",
    none: "No known source has this in its name.",
    noneAtAll: "No source is known on this phone yet. Add the one you are at.",
    more: (left: string) => `Show more, ${left} left`,
    add: "Add a source",
    sampledAsk: "Sample taken from",
    sampledFault: "Choose where the sample was taken from.",
    sampled: { pump: "pump", can: "can", tank: "tank" },
    sampledShort: { pump: "from the pump", can: "from a can", tank: "from a tank" },
    whenAsk: "When",
    whenNow: "just now",
    whenEarlier: "earlier",
    when: "Day and time",
    whenFault: "This lies in the future. Give the time at which the fuel was taken.",
    unknown: "A source that is no longer on this phone",
  },

  tube: {
    title: "Tube and temperatures",
    ask: "Tube",
    add: "Add a tube",
    known: "What is known of it",
    addFirst: "Describe your tube once. It is offered at every test from then on.",
    temperatureHow: "Measured or guessed?",
    measured: "measured",
    guessed: "guessed",
    guessedHint: "A guess makes the result less sure. Water that has stood here is as warm as the air.",
    measuredHint: "From a thermometer in the water, before it is filled.",
    waterTemperature: "Temperature of the water",
    fuelTemperature: "Temperature of the fuel",
    fuelTemperatureHint: (degrees: string) =>
      `As it comes from the pump or can. Left open, it counts as warm as the water, give or take ${degrees}.`,
    fuelTemperatureHow: "The fuel: measured or guessed?",
    waterShort: (degrees: string) => `water ${degrees}`,
    fuelShort: (degrees: string) => `fuel ${degrees}`,
    fuelWater: "Water already in the fuel",
    fuelWaterHint:
      "The tube cannot tell this water from ethanol, so it is taken off. Specifications allow about 1 %; without a figure leave 0.5 %.",
    fuelWaterNow: (value: string) => `Water in the fuel: ${value}`,
    temperatureFault: "Enter the temperature of the water. Without a thermometer, guess it.",
    fuelWaterShort: (value: string) => `${value} water in the fuel`,
    unused: "A tube that is no longer on this phone",
  },

  tubeForm: {
    addTitle: "A new tube",
    editTitle: "Your tube",
    scaleAsk: "What is printed on the tube?",
    scale: {
      volume: { label: "Millilitres", hint: "Plain graduations, for example 0 to 100 mL." },
      linear: {
        label: "Per cent, evenly spaced",
        hint: "Every step has the same height. Such a scale leaves out that ethanol and water shrink when they mix; this is worked out for you.",
      },
      corrected: {
        label: "Per cent, shrinkage allowed for",
        hint: "The steps change height along the tube, or the maker says that it shows the ethanol content itself.",
      },
      unknown: {
        label: "Per cent, and I do not know which",
        hint: "The result is a span then, about 6 points wide at 85 %, until you know.",
      },
    },
    waterMark: "Water mark",
    waterMarkHint: "Where the water is filled to.",
    fuelMark: "Fuel mark",
    fuelMarkHint: "Where the whole filling reaches, water and fuel together.",
    fuelMarkFault: "The fuel mark must lie above the water mark.",
    missing: "Enter both marks and the smallest step first.",
    graduation: "Smallest step of the scale",
    liquidAsk: "Filled first with",
    liquid: { water: "water", brine: "brine, 10 % salt" },
    brineHint: "100 g sodium chloride made up to 1 L with water (NBR 13992). Settling takes 15 minutes.",
    brineScale: "Brine needs a tube marked in millilitres.",
    tolerance: "Limit of error of the marks",
    toleranceHint: "If it is printed on the tube, such as ± 0.5 mL. Otherwise leave it empty.",
    name: "Name of this tube",
    nameHint: "To tell it from your others. It stays on this phone.",
    nameOffered: (mark: string) => `${mark} tube`,
    save: "Keep this tube",
    back: "Back",
    finer: "Name and limit of error",
  },

  before: {
    title: "Before you pour",
    caution: "Fuel and its vapour catch fire easily",
    points: [
      "No flame, no cigarette, no hot engine nearby.",
      "Lay this phone aside and unplugged while you pour; touch bare metal first to lose static.",
      "Outdoors or with the doors open: vapour sinks and collects.",
      "Gloves and glasses on; fuel harms skin and eyes.",
      "Fill the can on the ground, never in a vehicle or on a liner.",
      "What the station, the safety data sheet and local rules say comes first.",
    ],
    done: "I have read this",
    short: "Cautions read",
  },

  run: {
    heading: (number: number) => `Run ${number}`,
    removeShort: "Remove",
  },

  fill: {
    title: "Fill",
    water: (liquid: string, mark: string) => `${liquid} to the ${mark} mark`,
    liquid: { water: "Water", brine: "Brine" },
    fuel: (mark: string) => `Fuel on top, to the ${mark} mark`,
    eye: "Eye level with the mark, lowest point of the surface on it.",
    overshot: "Not exactly at the marks",
    waterAt: "Water stands at",
    topAt: "Fuel stands at",
    topFault: "The fuel must stand above the water.",
    missing: "Enter both levels first.",
    done: "Both are in",
    short: (water: string, liquid: string, fuel: string) => `${water} ${liquid}, ${fuel} fuel`,
    liquidShort: { water: "water", brine: "brine" },
    tubeAsk: "In which tube?",
    tubeHint: "Two different tubes check each other.",
  },

  shake: {
    title: "Close, turn over, vent",
    points: [
      "Close the tube.",
      "Turn it over ten times, slowly and fully.",
      "Open it a little, upright and away from the face: pressure has built up.",
    ],
    done: (minutes: string) => `Done: start the ${minutes}\u00a0minutes`,
    doneOnly: "Done, without the clock",
    short: "Turned over ten times, vented",
  },

  settle: {
    title: "Let it settle",
    hint: "Stand it upright, out of sun and wind. The rest of the app can be used meanwhile.",
    short: "Settled",
    look: "Look",
    running: (left: string) => `Settling, ${left} left`,
    beside: "A second tube of the same kind at hand?",
    besideHint: "Both settle side by side, each with its own clock. Mark them, so that they are not mixed up.",
    besideAct: (number: number) => `Start run ${number} in it now`,
  },

  warm: {
    degrees: (above: string, uncertainty: string) => `${above}\u00a0±\u00a0${uncertainty}`,
    note: (degrees: string, now: string, later: string, half: string, minutes: string) =>
      `Mixing has left the tube about ${degrees} warmer. Read as if it were cold, it gives ${now} points too high now, ${later} in ${minutes} minutes (± ${half}). Measure its temperature as you read; otherwise this estimate is used.`,
  },

  line: {
    title: "Read the line",
    hint: "Where the two layers part. Eye level with it.",
    volume: "The line stands at",
    percent: "The scale shows",
    drag: "Drag along the tube, then use − and +.",
    temperatureAsk: "Enter the temperature in the tube",
    temperature: "Temperature in the tube",
    temperatureHint: "Measured in the lower layer as you read. Without a thermometer leave it open: it is estimated.",
    topAsk: "Also read the top of the fuel",
    topHint: "A second opinion that needs no correction for shrinkage.",
    top: "Top of the fuel",
    topFault: "The top of the fuel lies above the line.",
    missing: "Read the line first: drag along the tube, or type it.",
    photo: "Photo",
    photoOptional: "Optional. It lets others check the reading.",
    photoRead: "Read the line from this photo",
    photoAgain: "Look at the marks again",
    photoTaken: (half: string) => `Read from the photo, ± ${half}. Changing the number makes it a reading by eye.`,
    photoScale: "Once you know the kind of this tube's scale, its line can be read from a photo.",
    photoBottomHint: (water: string, fuel: string) =>
      `Any graduation below the water mark; a flat bottom stands for 0 mL. The water mark is the graduation at ${water}, the fuel mark the one at ${fuel}.`,
    photoMost: "A test has six photos at most.",
    done: "This is the reading",
    short: (value: string) => `Line at ${value}`,
  },

  next: {
    second: "A second run makes the result surer and shows a mistake.",
    enough: "The runs agree.",
    rest: "The runs that count agree.",
    differ: "One more run may show which of them is off.",
    act: (number: number) => `Start run ${number}`,
    more: "One more run",
    clean: "Empty, rinse and dry the tube first: what is left in it falsifies the next run.",
  },

  result,

  aside: {
    title: "The odd run",
    offer: (number: number) =>
      `Without run ${number} the others agree. If you know what went wrong with it, set it aside.`,
    reason: "What went wrong?",
    reasonHint: "Misread, spilled, milky line… The reason goes with the test.",
    reasonFault: "Say what went wrong with this run first.",
    act: (number: number) => `Set run ${number} aside`,
    done: (number: number, why: string) =>
      `Run ${number} is set aside: ${why}. It stays in the test but does not count.`,
    undo: (number: number) => `Count run ${number} again`,
  },

  odd: {
    above: (content: string, points: string, expected: string) =>
      `${content} is well above what this station gave: ${points} points above the ${expected} that 9 in 10 fills should have.`,
    below: (content: string, points: string, expected: string) =>
      `${content} is well below what this station gave: ${points} points below the ${expected} that 9 in 10 fills should have.`,
    repeat: "Repeat the run, or check the tube and its scale.",
    again: "Test here again, or check the tube and its scale.",
    on: (day: string, sentence: string) => `${day}: ${sentence}`,
  },

  keep: {
    title: "Keep it",
    noteAdd: "Add a note",
    note: "Note",
    noteHint: "What somebody should know who reads this later.",
    share: "Share this test",
    shareHint:
      "Source, figures, note and photos go to the public list under CC0-1.0: anybody may use them for anything. Everyone can learn the source, the day, the result and the note, and that your results of one region and year come from one person; whoever watches the server sees when a test arrives.",
    ask: "Share your tests?",
    askHint: "What is public cannot be called back. You can change your answer for later tests.",
    act: "Keep this test",
    actShared: "Keep and share this test",
    working: "Keeping it…",
    fault: "The test could not be kept. Nothing is lost: try once more.",
    full: "The storage of this phone is full. The run sheet is kept: free some space, then keep the test.",
  },

  correct: {
    title: "Correct a saved test",
    lead: (former: string) => `It gave ${former}. Change what is wrong, then save it as a new revision.`,
    act: "Save the correction",
    later: "Not now",
    discard: "Discard these changes",
    not: "This test cannot be corrected on this phone.",
  },

  kept: {
    title: "Kept",
    private: "The test is on this phone and stays there.",
    waiting: "The test is on this phone. It is sent as soon as the server can be reached.",
    needsPosition: "The test is on this phone. It is sent once its source has a position.",
    log: "See it in the log",
    source: "See its source",
    again: "Start a new sheet",
  },

  after: {
    caution: "What was in the tube is fuel and water",
    points: [
      "Never into a drain, a ditch or onto soil: ethanol and fuel travel with the water.",
      "Collect it in a sealed can that is marked as fuel waste; hand it in under the local rules for hazardous waste.",
      "Rinse the tube with water and let it dry: what is left in it falsifies the next run.",
      "Acetone and spirit are flammable, and what stays of them reads as alcohol: if you use them, rinse with water afterwards and let it dry.",
      "Never store fuel in the tube. Retire a tube that is crazed or cloudy, or whose print comes off.",
      "Wash your hands. Wet rags dry outdoors, spread out.",
    ],
  },
};
