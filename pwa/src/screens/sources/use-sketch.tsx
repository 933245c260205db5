/** The sketch of the world's regions in a component: null until it is loaded. */

import { useEffect, useState } from "preact/hooks";
import { loadSketch, type Sketch } from "../../sketch";
import { readRegionName } from "../../store/regions";
import { learnRegionName } from "../../sync/regions";
import { useStored } from "../../use";

export function useSketch(): Sketch | null {
  const [sketch, setSketch] = useState<Sketch | null>(null);
  const [fault, setFault] = useState<unknown>(null);
  useEffect(() => {
    loadSketch().then((found) => setSketch(() => found), setFault);
  }, []);
  if (fault !== null) throw fault;
  return sketch;
}

/** The region's name; what no sketch has is asked of the server once, and until then the code stands for it. */
export function useRegionName(code: string): string {
  const sketch = useSketch();
  const known = sketch?.names.get(code);
  const learned = useStored(() => readRegionName(code), ["settings"], [code]);
  useEffect(() => {
    if (code !== "" && sketch !== null && known === undefined) void learnRegionName(code);
  }, [sketch, known, code]);
  return known ?? learned ?? code;
}

/** The name as a part of its own, where many stand in a row. */
export function RegionName({ code }: { code: string }) {
  return <>{useRegionName(code)}</>;
}
