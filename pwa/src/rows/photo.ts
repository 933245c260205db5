/** A photo as this phone keeps it. */

/** private: stays here. waiting: to be sent after its test. sent, refused: what the server said. */
export type PhotoState = "private" | "waiting" | "sent" | "refused";

export interface PhotoRow {
  digest: string;
  type: string;
  bytes: ArrayBuffer;
  width: number;
  height: number;
  made_at: string;
  state: PhotoState;
  problem: string;
}
