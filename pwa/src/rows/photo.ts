/** A photo as stored on this phone. */

/** private: stays here. waiting: sent after its test. sent, refused: the server's answer. */
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
