/** Where a region's sources stand: the sketch, what lies around, and the sources by the numbers in it. */

import { number, windOf } from "../../format";
import { labels } from "../../labels";
import { whereabouts } from "../../live";
import { rank } from "../../ranking";
import { to } from "../../router";
import type { Sketch } from "../../sketch";
import { frameOf } from "../../sketch-frame";
import { listFigures } from "../../store/figures";
import { useNow, useStored } from "../../use";
import { neighboursOf, type Placed, SketchMap } from "./sketch-map";
import { SourceLine } from "./source-line";
import { useSketch } from "./use-sketch";

/** As many as can be told apart in a drawing as wide as a phone. */
const MOST = 20;

export function RegionSketch({ code, name }: { code: string; name: string }) {
  const words = labels.sources.sketch;
  const sketch = useSketch();
  const rows = useStored(listFigures, ["figures"]);
  const now = useNow(60_000);
  if (sketch === null || rows === undefined) return null;
  const here = rank(
    rows.filter((row) => row.region === code),
    "steadiest",
    whereabouts.value,
  );
  const all = [...here.ranked, ...here.unsampled].filter(isPlaced);
  const shown = all.slice(0, MOST);
  return (
    <section class="leaf" aria-labelledby="sketch">
      <div>
        <h2 id="sketch">{words.heading}</h2>
        <p class="hint">{words.hint}</p>
      </div>
      <SketchMap sketch={sketch} code={code} name={name} sources={shown} />
      <Around sketch={sketch} code={code} />
      {shown.length > 0 && (
        <ol class="row-list numbered">
          {shown.map((row, at) => (
            <li key={row.source}>
              <span class="rank" aria-hidden="true">
                {at + 1}
              </span>
              <SourceLine row={row} now={now} />
            </li>
          ))}
        </ol>
      )}
      {all.length > MOST && <p class="hint">{words.more(number(all.length - MOST, 0))}</p>}
    </section>
  );
}

function Around({ sketch, code }: { sketch: Sketch; code: string }) {
  const words = labels.sources.sketch;
  const outline = sketch.outline(code);
  if (outline === null) return null;
  const around = neighboursOf(sketch, code, frameOf(outline, []));
  if (around.length === 0) return null;
  return (
    <p class="hint sketch-around">
      {words.aroundIt}
      {around.map((other) => (
        <a key={other.code} href={to("region", other.code)}>
          {words.beside(other.name, words.winds[windOf(other.bearing_deg)])}
        </a>
      ))}
    </p>
  );
}

function isPlaced(row: { latitude: number | null; longitude: number | null }): row is Placed {
  return row.latitude !== null && row.longitude !== null;
}
