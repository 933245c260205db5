/**
 * What each problem means, by its code; in English these are the sentences of the server and the command line, but where
 * they speak to whoever writes records and not to whoever holds the phone.
 */

import sentences from "@constants/checking/wording.json";

export const problems: Record<keyof typeof sentences, string> = {
  ...sentences,
  conflict:
    "Another of your phones sent its version first, and that one counts. To send this one as the newer, change its note.",
  source_unknown: "The server does not know this test's station yet. Sync once more, then try again.",
  source_retracted: "The station of this test was withdrawn. Choose or add another station.",
  source_in_use: "Other people have tested at this station, so it stays. Correct its name or position instead.",
  similar_source: "A station close by may be the same place. If it is, test there and withdraw this one.",
  retracted: "This record was withdrawn. Enter it again as a new one.",
  out_of_line:
    "This reading is far from the recent ones at this station and in its region. It is saved, and counts once somebody else reads the same here. Check the scale and the runs.",
  change_waits:
    "Others have tested here, so your change waits until a moderator confirms it. Until then everybody else sees the station as it was.",
  change_refused: "A moderator did not accept your change of this station, so it stays as it was.",
  twin_runs:
    "The same runs at the same station in the same half hour were entered before. This test is saved, but only the first counts. Withdraw one of the two.",
  region_uncertain:
    "The place is close to a border: taken as {value}, it may be in {limit}. Choose the region if you know it.",
};
