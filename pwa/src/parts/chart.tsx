/** A series over time with error bars. The drawing library comes only when a chart is on the page. */

import { useEffect, useRef, useState } from "preact/hooks";
import { labels } from "../labels";

export interface ChartPoint {
  /** ms since 1970 */
  at: number;
  value: number;
  /** Half-width of the error bar. */
  spread: number | null;
}

/** A moment at which something changed, drawn as an upright line. */
export interface ChartMark {
  at: number;
  label: string;
}

/** What may be expected from one moment on, to the edge of the chart. */
export interface ChartBand {
  from: number;
  low: number;
  high: number;
}

export interface ChartProps {
  /** What the chart shows, in one sentence, for screen readers: the list beside it has the figures. */
  name: string;
  unit: string;
  /** Oldest first. */
  points: readonly ChartPoint[];
  marks?: readonly ChartMark[];
  /** Drawn softly behind the points; oldest first. */
  line?: readonly ChartPoint[];
  band?: ChartBand | null;
}

/** The same arrays at every drawing, so that nothing is drawn anew for nothing. */
const NONE: readonly never[] = [];

type Phase = "loading" | "drawn" | "failed";

export function Chart({ name, unit, points, marks = NONE, line = NONE, band = null }: ChartProps) {
  const box = useRef<HTMLDivElement>(null);
  const [phase, setPhase] = useState<Phase>("loading");
  useEffect(() => {
    const target = box.current;
    if (!target || points.length === 0) return;
    let over = false;
    let remove = () => {};
    loadDrawing().then(
      (draw) => {
        if (over) return;
        remove = draw(target, { unit, points, marks, line, band });
        setPhase("drawn");
      },
      () => setPhase("failed"),
    );
    return () => {
      over = true;
      remove();
    };
  }, [points, marks, line, band, unit]);
  return (
    <figure class="chart">
      <div ref={box} class="chart-box" role="img" aria-label={name} />
      {phase === "loading" && <p class="hint">{labels.parts.chartLoading}</p>}
      {phase === "failed" && <p class="hint">{labels.parts.chartFault}</p>}
    </figure>
  );
}

/** The library reads the device's language when it is loaded, and throws where that is no proper tag: it gets English. */
async function loadDrawing() {
  try {
    new Intl.NumberFormat(navigator.language);
  } catch {
    Object.defineProperty(navigator, "language", { value: "en", configurable: true });
  }
  const { drawSeries } = await import("./chart-drawing");
  return drawSeries;
}
