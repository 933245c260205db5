/** Words used in more than one place. */
export const common = {
  name: "Splitline",
  description: "Measure how much ethanol is in the fuel with a tube, and see which station is steady.",
  skip: "To the content",
  bar: "Places",
  places: { test: "Test", sources: "Sources", fuel: "Fuel", log: "Log" },
  opening: "Opening…",
  absent: "This part of the app has not loaded. What you kept is kept; try again, with a connection if there is one.",
  demo: "Invented demo data. No station here exists.",

  insecure: "This address is not https. The app cannot be kept on the phone, and nothing can be sent.",
  unsent: (records: string) => `${records} not sent yet`,
  record: "record",
  records: "records",
  parked: (records: string) => `${records} refused by the server`,
  parkedLook: "Look in Log",
  exchanging: "Syncing with the server…",
  exchanged: (ago: string) => `Last synced ${ago}`,
  neverExchanged: "Not synced yet",
  troubled: (why: string) => `Last attempt failed: ${why}`,
  trouble: {
    no_answer: "no answer from the server",
    too_slow: "the server took too long",
    not_understood: "the answer was not understood",
    not_admitted: "the server did not accept this phone's secret",
    server_fault: "the server has a fault",
    refused: "the server refused the request",
  } as Record<string, string>,

  clock: {
    behind: (span: string) => `This phone's clock is ${span} behind the server's.`,
    ahead: (span: string) => `This phone's clock is ${span} ahead of the server's.`,
    what: "Tests get wrong times. Set the phone's date and time; what was kept meanwhile can be put right in the log.",
  },

  updateReady: "A new version is ready.",
  updateTake: "Load it now",
  updateLater: "It loads when the tube has settled and you agree.",

  moved: {
    what: (tests: string) =>
      `A better calculation: ${tests} of yours computed again. It allows for the petrol that strong fuel leaves in the water, and for the warmth of mixing, so strong fuel in a tube filled half and half reads about a point lower.`,
    largest: (before: string, after: string) =>
      `The largest change: ${before} became ${after}. Each test still shows its old result.`,
  },

  storage: {
    old_tab: "Splitline is open in another tab with an older version. Close that tab to go on.",
    new_tab: "Another tab has loaded a newer version. Load this one again; the run sheet is kept.",
    lost: "This phone's storage does not answer. Leave this page open, then load it again.",
    full: "The storage of this phone is nearly full. Delete photos that are on the server too, in the settings.",
  },
  storageLook: "Settings",
  loadAgain: "Load again",
  evictionTitle: "Not on the home screen",
  eviction:
    "Safari may clear what this page keeps when it is not opened for some weeks. Add it to the home screen, or save the recovery file.",
  evictionUnsent: (records: string) => `${records} would be lost.`,
  evictionSave: "Recovery file",
  failed: (what: string) => `That did not work (${what}). Try it once more.`,
  understood: "Understood",

  faultTitle: "This page stopped working",
  faultBody: "What you kept is kept, and so is the run sheet.",
  faultAgain: "Try again",
  faultRepair: "Reinstall the app",
  repairTitle: "Reinstall the app",
  repairBody:
    "Removes the app's program from this phone and loads it again from the server. Tests, sources, tubes and the run sheet stay. It needs a connection.",
  repairAct: "Remove and load again",
  repairOffline: "The server does not answer. Try again when there is a connection; the app still works as it is.",
  lost: "There is nothing at this address.",
  back: "Back",
  choose: "Choose something in the list: it opens here.",
};
