/** The words of the Test place: the run sheet, from the source to the saved test. */

import { result } from "./result";

export const test = {
  title: "Test",
  lead: "One page, top to bottom. Every entry is saved as you make it.",
  startedAt: (moment: string) => `Started ${moment}`,
  clear: "Discard this test",
  clearBack: "Keep going",
  busyAsk: "You have a test in progress",
  busyWhat: "It is for another sample. Start a new test here and lose it, or keep going with it?",
  busyNew: "Start a new test",
  saveFault: "This entry could not be saved on the phone. Free some space, then change it once more.",
  loading: "Opening your test…",
  change: "Change",
  goOn: "Next",
  ready: "Ready",
  readyAct: "Do it now",
  stage: (number: number, title: string) => `${number}. ${title}`,

  source: {
    title: "Station",
    ask: "Where does the fuel come from?",
    find: "Name or pump",
    near: "Nearest first",
    recent: "Use my location to list the nearest first",
    locate: "Use my location",
    locating: "Finding you…",
    none: "No station has this in its name.",
    noneAtAll: "No stations on this phone yet. Add the one you are at.",
    more: (left: string) => `Show ${left} more`,
    add: "Add a station",
    sampledAsk: "Sample taken from",
    sampledFault: "Choose where the sample was taken from.",
    sampled: { pump: "pump", can: "can", tank: "tank" },
    sampledShort: { pump: "from the pump", can: "from a can", tank: "from a tank" },
    whenAsk: "When",
    whenNow: "just now",
    whenEarlier: "earlier",
    when: "Day and time",
    whenFault: "This is in the future. Enter when the fuel was taken.",
    unknown: "A station no longer on this phone",
  },

  tube: {
    title: "Tube and temperatures",
    ask: "Tube",
    add: "Add a tube",
    known: "Tube details",
    addFirst: "Describe your tube once; it will be offered for every test.",
    temperatureHow: "How do you know it?",
    measured: "measured",
    guessed: "estimated",
    guessedHint: "An estimate makes the result less certain. Water that has been out here is as warm as the air.",
    measuredHint: "With a thermometer in the water, before you fill it.",
    waterTemperature: "Water temperature",
    fuelTemperature: "Fuel temperature",
    fuelTemperatureHint: (degrees: string) =>
      `As it comes from the pump or can. If left blank, it is taken to be as warm as the water, ±\u00a0${degrees}.`,
    fuelTemperatureHow: "How do you know the fuel temperature?",
    waterShort: (degrees: string) => `water ${degrees}`,
    fuelShort: (degrees: string) => `fuel ${degrees}`,
    fuelWater: "Water already in the fuel",
    fuelWaterHint:
      "The tube cannot tell this water from ethanol, so it is subtracted. Specifications allow about 1 %; if you do not know, leave 0.5 %.",
    fuelWaterNow: (value: string) => `Water already in the fuel: ${value} (change)`,
    temperatureFault: "Enter the water temperature. Without a thermometer, estimate it.",
    fuelWaterShort: (value: string) => `${value} water in the fuel`,
    unused: "A tube no longer on this phone",
  },

  tubeForm: {
    addTitle: "A new tube",
    editTitle: "Your tube",
    scaleAsk: "What is printed on the tube?",
    scale: {
      volume: { label: "Millilitres", hint: "Plain graduations, for example 0 to 100 mL." },
      linear: {
        label: "Per cent, evenly spaced",
        hint: "Every step has the same height. Such a scale ignores that ethanol and water shrink when they mix; the app corrects for it.",
      },
      corrected: {
        label: "Per cent, corrected for shrinkage",
        hint: "The steps change height along the tube, or the maker says it shows the ethanol content itself.",
      },
      unknown: {
        label: "Per cent, not sure which",
        hint: "Until you know, results are shown as a range about 6 points wide at 85 %.",
      },
    },
    waterMark: "Water mark",
    waterMarkHint: "Fill water to here.",
    fuelMark: "Fuel mark",
    fuelMarkHint: "Level of water plus fuel.",
    fuelMarkFault: "The fuel mark must be above the water mark.",
    missing: "Enter both marks and the smallest step first.",
    graduation: "Smallest step of the scale",
    liquidAsk: "First liquid",
    liquid: { water: "water", brine: "brine, 10 % salt" },
    brineHint: "100 g sodium chloride made up to 1 L with water (NBR 13992). Settling takes 15 minutes.",
    brineScale: "Brine needs a tube marked in millilitres.",
    tolerance: "Tolerance of the marks",
    toleranceHint: "If it is printed on the tube, such as ± 0.5 mL. Otherwise leave blank.",
    name: "Name of this tube",
    nameHint: "To tell it from your others. It stays on this phone.",
    nameOffered: (mark: string) => `${mark} tube`,
    save: "Save this tube",
    back: "Back",
    finer: "Name and tolerance",
  },

  before: {
    title: "Before you pour",
    caution: "Fuel and its vapour catch fire easily",
    points: [
      "No flame, no cigarette, no hot engine nearby.",
      "Unplug the phone and put it aside before you pour; touch bare metal first to lose static.",
      "Outdoors or with the doors open: vapour sinks and collects.",
      "Wear gloves and eye protection; fuel harms skin and eyes.",
      "Fill the can on the ground, never inside a vehicle or on a bed liner.",
      "Station rules, the safety data sheet and local rules take precedence.",
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
    eye: "Eye level with the mark; read the bottom of the curve (meniscus).",
    overshot: "I over- or under-filled",
    waterAt: "Water level",
    topAt: "Total level",
    topFault: "The total level must be above the water level.",
    missing: "Enter both levels first.",
    done: "Both filled",
    short: (water: string, liquid: string, fuel: string) => `${water} ${liquid}, ${fuel} fuel`,
    liquidShort: { water: "water", brine: "brine" },
    tubeAsk: "In which tube?",
    tubeHint: "Two different tubes check each other.",
  },

  shake: {
    title: "Close, invert, vent",
    points: [
      "Close the tube.",
      "Invert it ten times, slowly and fully.",
      "Open it a little, upright and away from your face: pressure has built up.",
    ],
    done: (minutes: string) => `Done, start the ${minutes}-minute timer`,
    doneOnly: "Done, no timer",
    short: "Inverted ten times, vented",
  },

  settle: {
    title: "Let it settle",
    hint: "Keep it upright, out of sun and wind. You can use the rest of the app meanwhile.",
    short: "Settled",
    look: "View",
    running: (left: string) => `Settling, ${left} left`,
    beside: "Got a second tube like this one?",
    besideHint: "Both settle side by side, each with its own timer. Mark them so that you do not mix them up.",
    besideAct: (number: number) => `Start run ${number} in it now`,
  },

  warm: {
    degrees: (above: string, uncertainty: string) => `${above}\u00a0±\u00a0${uncertainty}`,
    note: (degrees: string, now: string, later: string, half: string, minutes: string) =>
      `Mixing has made the tube about ${degrees} warmer. Read as if it were cold, it gives ${now} points too high now, ${later} in ${minutes} minutes (± ${half}). Measure its temperature as you read; otherwise this estimate is used.`,
  },

  line: {
    title: "Read the line",
    hint: "Where the two layers meet. Eye level with it.",
    volume: "Line reading",
    percent: "Scale reading",
    drag: "Drag along the tube, then use − and +.",
    temperatureAsk: "Enter the tube temperature",
    temperature: "Tube temperature",
    temperatureHint: "Measure it in the lower layer as you read. No thermometer? Leave blank: it is estimated.",
    topAsk: "Also read the top of the fuel",
    topHint: "A second opinion that needs no correction for shrinkage.",
    top: "Top of the fuel",
    topFault: "The top of the fuel must be above the line.",
    missing: "Read the line first: drag along the tube, or type it.",
    photo: "Photo",
    photoOptional: "Optional. It lets others check the reading.",
    photoRead: "Read the line from this photo",
    photoAgain: "Look at the marks again",
    photoTaken: (half: string) => `Read from the photo, ± ${half}. If you change the number it counts as read by eye.`,
    photoScale: "Once you know this tube's kind of scale, you can read its line from a photo.",
    photoBottomHint: (water: string, fuel: string) =>
      `Any graduation below the water mark; a flat bottom is 0 mL. The water mark is the graduation at ${water}, the fuel mark the one at ${fuel}.`,
    photoMost: "A test can have six photos at most.",
    done: "Use this reading",
    short: (value: string) => `Line at ${value}`,
  },

  next: {
    second: "A second run makes the result more certain and exposes mistakes.",
    enough: "The runs agree.",
    rest: "The runs that count agree.",
    differ: "One more run may show which of them is off.",
    act: (number: number) => `Start run ${number}`,
    more: "One more run",
    clean: "Empty, rinse and dry the tube first: residue would spoil the next run.",
  },

  result,

  aside: {
    title: "The odd run",
    offer: (number: number) =>
      `Without run ${number} the others agree. If you know what went wrong with it, set it aside.`,
    reason: "What went wrong?",
    reasonHint: "Misread, spilled, milky line… The reason is saved with the test.",
    reasonFault: "Say what went wrong with this run first.",
    act: (number: number) => `Set run ${number} aside`,
    done: (number: number, why: string) =>
      `Run ${number} is set aside: ${why}. It stays in the test but does not count.`,
    undo: (number: number) => `Count run ${number} again`,
  },

  odd: {
    above: (content: string, points: string, expected: string) =>
      `${content} is well above what this station gave: ${points} points above the ${expected} expected for 9 fills in 10.`,
    below: (content: string, points: string, expected: string) =>
      `${content} is well below what this station gave: ${points} points below the ${expected} expected for 9 fills in 10.`,
    repeat: "Repeat the run, or check the tube and its scale.",
    again: "Test here again, or check the tube and its scale.",
    on: (day: string, sentence: string) => `${day}: ${sentence}`,
  },

  keep: {
    title: "Save",
    noteAdd: "Add a note",
    note: "Note",
    noteHint: "Anything worth knowing when you read this later.",
    share: "Share this test",
    shareHint:
      "The station, figures, note and photos go on the public list under CC0-1.0: anyone may use them for anything. Everyone can see the station, the day, the result and the note, and that your results from one region and year come from one person. Anyone watching the server can see when a test arrives.",
    ask: "Share your tests?",
    askHint: "Once public, it cannot be taken back. You can change your answer for later tests.",
    act: "Save this test",
    actShared: "Save and share this test",
    working: "Saving…",
    fault: "The test could not be saved. Nothing is lost: try again.",
    full: "This phone's storage is full. Your entries are saved: free some space, then save the test.",
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
    title: "Saved",
    private: "The test is on this phone and stays there.",
    waiting: "The test is on this phone. It is sent as soon as the server can be reached.",
    needsPosition: "The test is on this phone. It is sent once its station has a position.",
    log: "See it in the log",
    source: "See its station",
    again: "New test",
  },

  after: {
    caution: "The tube's contents are fuel waste",
    points: [
      "Never pour it into a drain, a ditch or onto soil: ethanol and fuel travel with the water.",
      "Collect it in a sealed can marked as fuel waste; hand it in under the local rules for hazardous waste.",
      "Rinse the tube with water and let it dry: residue would spoil the next run.",
      "Acetone and spirit are flammable, and their residue reads as alcohol: if you use them, rinse with water afterwards and let it dry.",
      "Never store fuel in the tube. Retire a tube that is crazed or cloudy, or whose print is coming off.",
      "Wash your hands. Spread fuel-wet rags out to dry outdoors.",
    ],
  },
};
