/** What each page about one tube is given. */

import type { TubeRow } from "../../rows/tube";

export interface TubeProps {
  row: TubeRow;
}
