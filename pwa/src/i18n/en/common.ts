/** Labels used in more than one place. */
export const common = {
  name: "Splitline",
  description: "Measure how much ethanol is in your fuel with a marked tube, and see which stations are steady.",
  skip: "Skip to content",
  bar: "Main menu",
  places: { test: "Test", sources: "Stations", fuel: "Fuel", log: "Log" },
  opening: "Opening…",
  absent: "This part of the app did not load. Nothing you saved is lost. Try again, online if you can.",
  demo: "Demo with invented data. None of these stations exists.",

  insecure: "This address does not use https, so the app cannot be saved for offline use and nothing can be sent.",
  unsent: (records: string) => `${records} not sent yet`,
  record: "record",
  records: "records",
  test: "test",
  tests: "tests",
  parked: (records: string) => `${records} refused by the server`,
  parkedLook: "See the log",
  exchanging: "Syncing with the server…",
  exchanged: (ago: string) => `Last synced ${ago}`,
  neverExchanged: "Not synced yet",
  troubled: (why: string) => `Last attempt failed: ${why}`,
  trouble: {
    no_answer: "no answer from the server",
    too_slow: "the server took too long",
    not_understood: "the server's answer could not be read",
    not_admitted: "the server did not accept this phone's secret",
    server_fault: "the server has a problem",
    refused: "the server refused the request",
  } as Record<string, string>,
  answerUnknown: (word: string) =>
    `The server answered “${word}”, which this version does not know. Update the app, then try again.`,

  clock: {
    behind: (span: string) => `This phone's clock is ${span} behind the server's.`,
    ahead: (span: string) => `This phone's clock is ${span} ahead of the server's.`,
    what: "Your tests get wrong times. Set the phone's date and time; you can correct tests you have already saved in the log.",
  },

  updateReady: "A new version is ready.",
  updateTake: "Update now",
  updateLater: "You can update once the tube has settled.",

  moved: {
    what: (tests: string) =>
      `A better calculation: ${tests} of yours recalculated. It now allows for the gasoline that strong fuel leaves in the water and for the heat of mixing, so strong fuel in a tube filled half and half reads about a point lower.`,
    largest: (before: string, after: string) =>
      `Largest change: ${before} became ${after}. Each test still shows its old result.`,
  },

  storage: {
    old_tab: "Splitline is open in another tab with an older version. Close that tab to continue.",
    new_tab: "Another tab has opened a newer version. Reload this one; the test you started is saved.",
    lost: "This phone's storage is not responding. Leave this page open for a moment, then reload it.",
    full: "This phone's storage is nearly full. In the settings you can delete photos that are also on the server.",
  },
  storageLook: "Settings",
  loadAgain: "Reload",
  evictionTitle: "Not on the home screen",
  eviction:
    "Safari may delete what this page has saved if you do not open it for some weeks. Add it to the home screen, or save the recovery file.",
  evictionUnsent: (records: string) => `${records} would be lost.`,
  evictionSave: "Recovery file",
  failed: (what: string) => `That did not work (${what}). Try again.`,
  understood: "Got it",

  faultTitle: "This page stopped working",
  faultBody: "Everything you saved is still there, and so is the test you started.",
  faultAgain: "Try again",
  faultRepair: "Reinstall the app",
  repairTitle: "Reinstall the app",
  repairBody:
    "Removes the app itself from this phone and downloads it again from the server. Your tests, stations and tubes stay, and so does the test you started. You need a connection.",
  repairAct: "Remove and download again",
  repairOffline: "The server is not answering. Try again when you have a connection; the app still works as it is.",
  lost: "There is nothing at this address.",
  back: "Back",
  choose: "Choose from the list; it opens here.",
};
