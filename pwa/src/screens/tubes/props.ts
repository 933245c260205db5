/** The props of each page about one tube. */

import type { TubeRow } from "../../rows/tube";

export interface TubeProps {
  row: TubeRow;
}
