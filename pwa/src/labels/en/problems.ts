/** What each problem means, by its code; in English these are the very sentences of the server and the command line. */

import sentences from "@constants/checking/wording.json";

export const problems: Record<keyof typeof sentences, string> = sentences;
