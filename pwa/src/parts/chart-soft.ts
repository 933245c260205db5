/** What stands softly behind the points of a chart: a line of what was to be expected, a band of what is. */

import type uPlot from "uplot";
import type { ChartBand, ChartPoint } from "./chart";
import type { Colours } from "./chart-drawing";

const LINE = 0.55;
const BAND = 0.2;

/** A line through the points, without points on it. */
export function drawLine(plot: uPlot, line: readonly ChartPoint[], colours: Colours, ratio: number): void {
  const { ctx } = plot;
  ctx.save();
  ctx.globalAlpha = LINE;
  ctx.strokeStyle = colours.accent;
  ctx.lineWidth = 2.5 * ratio;
  ctx.lineJoin = "round";
  ctx.beginPath();
  for (const point of line) ctx.lineTo(...placeOf(plot, point.at, point.value));
  ctx.stroke();
  ctx.restore();
}

/** From its moment to the right edge, with an edge above and below that shows in sunlight too. */
export function drawBand(plot: uPlot, band: ChartBand, colours: Colours, ratio: number): void {
  const { ctx, bbox } = plot;
  const right = bbox.left + bbox.width;
  const [left, top] = placeOf(plot, band.from, band.high);
  const [, bottom] = placeOf(plot, band.from, band.low);
  ctx.save();
  ctx.fillStyle = colours.accent;
  ctx.strokeStyle = colours.accent;
  ctx.globalAlpha = BAND;
  ctx.fillRect(left, top, right - left, bottom - top);
  ctx.globalAlpha = 1;
  ctx.lineWidth = 1.5 * ratio;
  ctx.beginPath();
  for (const y of [top, bottom]) {
    ctx.moveTo(left, y);
    ctx.lineTo(right, y);
  }
  ctx.stroke();
  ctx.restore();
}

function placeOf(plot: uPlot, at: number, value: number): [number, number] {
  return [plot.valToPos(at / 1000, "x", true), plot.valToPos(value, "y", true)];
}
