/** The words of the Log place. */

import type { SyncState } from "../store/schema";

const states: Record<SyncState, string> = {
  private: "On this phone only",
  needs_position: "Waiting for a position of its source",
  waiting: "Waiting to be sent",
  sent: "Sent",
  held: "Sent, but not counted yet",
  refused: "Not taken by the server",
};

export const log = {
  title: "Log",
  states,
  retractedStates: {
    here: "Taken back",
    waiting: "Taken back; the server will be told",
    everywhere: "Taken back, here and on the server",
    refused: "Taken back here; the server did not take it",
  },
};
