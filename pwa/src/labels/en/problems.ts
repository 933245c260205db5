/**
 * What each problem means, by its code; in English these are the sentences of the server and the command line, but where
 * they speak to whoever writes records and not to whoever holds the phone.
 */

import sentences from "@constants/checking/wording.json";

export const problems: Record<keyof typeof sentences, string> = {
  ...sentences,
  conflict:
    "Another phone of yours sent a version of this first, and that one counts. To send this one as the newer, change its note.",
  source_unknown: "The server does not know the source of this test yet; sync once more, then try again.",
  twin_runs:
    "The same runs at the same source in the same half hour were entered before; this test is kept, but only the first counts. Take one of the two back.",
  region_uncertain:
    "The place is close to a border: taken as {value}, it may be in {limit}. Choose the region if you know it.",
};
