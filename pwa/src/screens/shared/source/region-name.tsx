/** The name of a region in a component. */

import { useEffect } from "preact/hooks";
import { useStored } from "../../../state/hooks";
import { readRegionName } from "../../../store/regions";
import { learnRegion } from "../../../sync/outlines";

/** The region's name; an unknown one is requested from the server, and its code is shown until then. */
export function useRegionName(code: string): string {
  const name = useStored(() => readRegionName(code), ["settings", "outlines"], [code]);
  useEffect(() => {
    if (code !== "" && name === code) void learnRegion(code);
  }, [code, name]);
  return name ?? code;
}

/** The name as a component, for lists of several. */
export function RegionName({ code }: { code: string }) {
  return <>{useRegionName(code)}</>;
}
