/** The name of a region in a component. */

import { useEffect } from "preact/hooks";
import { useStored } from "../../../state/hooks";
import { readRegionName } from "../../../store/regions";
import { learnRegion } from "../../../sync/outlines";

/** The region's name; one that is not known is asked of the server, and until then the code stands for it. */
export function useRegionName(code: string): string {
  const name = useStored(() => readRegionName(code), ["settings", "outlines"], [code]);
  useEffect(() => {
    if (code !== "" && name === code) void learnRegion(code);
  }, [code, name]);
  return name ?? code;
}

/** The name as a part of its own, where many stand in a row. */
export function RegionName({ code }: { code: string }) {
  return <>{useRegionName(code)}</>;
}
