/** Draws a series with error bars on a canvas, in the colours of the page. */

import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { number, shortDay } from "../format";
import type { ChartBand, ChartMark, ChartPoint } from "./chart";
import { drawBand, drawLine } from "./chart-soft";

const HEIGHT = 240;
/** Points are drawn smaller where they crowd. */
const CROWD = 20;

interface Series {
  unit: string;
  points: readonly ChartPoint[];
  marks: readonly ChartMark[];
  line: readonly ChartPoint[];
  band: ChartBand | null;
}

/** Draws into `box` and follows its width and the colour scheme; gives the way to take it away. */
export function drawSeries(box: HTMLElement, series: Series): () => void {
  let plot = build(box, series);
  const redraw = () => {
    plot.destroy();
    plot = build(box, series);
  };
  const width = new ResizeObserver(() => plot.setSize({ width: box.clientWidth, height: HEIGHT }));
  width.observe(box);
  const scheme = new MutationObserver(redraw);
  scheme.observe(document.documentElement, { attributes: true, attributeFilter: ["data-scheme"] });
  const device = matchMedia("(prefers-color-scheme: dark)");
  device.addEventListener("change", redraw);
  return () => {
    width.disconnect();
    scheme.disconnect();
    device.removeEventListener("change", redraw);
    plot.destroy();
  };
}

function build(box: HTMLElement, series: Series): uPlot {
  const { unit, points } = series;
  const colours = pageColours(box);
  const axis = {
    stroke: colours.ink,
    font: `13px ${colours.face}`,
    grid: { stroke: colours.hairline, width: 1 },
    ticks: { stroke: colours.outline, width: 1, size: 6 },
  };
  const options: uPlot.Options = {
    width: box.clientWidth,
    height: HEIGHT,
    legend: { show: false },
    cursor: { show: false },
    scales: { x: { range: () => spreadOut(series) }, y: { range: () => limits(series) } },
    axes: [
      { ...axis, space: 72, size: 44, grid: { show: false }, values: (_, ticks) => ticks.map(dayOrYear) },
      {
        ...axis,
        size: 50,
        incrs: [1, 2, 5, 10, 20, 50],
        values: (_, ticks) => ticks.map((tick) => `${number(tick, 0)} ${unit}`),
      },
    ],
    // The points stand by themselves: what a source held between two tests is not known.
    series: [{}, { width: 0, points: { show: false } }],
    hooks: { draw: [(plot) => drawOver(plot, series, colours)] },
  };
  const times = points.map((point) => point.at / 1000);
  return new uPlot(options, [times, points.map((point) => point.value)], box);
}

export interface Colours {
  ink: string;
  paper: string;
  hairline: string;
  outline: string;
  accent: string;
  face: string;
}

function pageColours(box: HTMLElement): Colours {
  const style = getComputedStyle(box);
  const read = (name: string) => style.getPropertyValue(name).trim();
  return {
    ink: read("--ink"),
    paper: read("--paper"),
    hairline: read("--hairline"),
    outline: read("--outline"),
    accent: read("--accent"),
    face: style.fontFamily,
  };
}

/** A day under each tick; the year too where it begins or changes. Seconds since 1970. */
function dayOrYear(tick: number, index: number, ticks: number[]): string {
  const before = ticks[index - 1];
  const year = new Date(tick * 1000).getFullYear();
  const same = before !== undefined && new Date(before * 1000).getFullYear() === year;
  return same ? shortDay(tick * 1000) : `${shortDay(tick * 1000)}\n${year}`;
}

/** A margin on both sides, at least two weeks, so that one point stands in the middle; wider for a band. In s. */
function spreadOut({ points, line, band }: Series): [number, number] {
  const times = [...points, ...line].map((point) => point.at / 1000);
  const first = Math.min(...times);
  const last = Math.max(...times, (band?.from ?? 0) / 1000);
  const margin = Math.max((last - first) * 0.06, 14 * 86_400);
  return [first - margin, last + (band ? 2 : 1) * margin];
}

/** The bars whole, at least ten points high, inside what a content can be. */
function limits({ points, line, band }: Series): [number, number] {
  const shown = [...points, ...line];
  const low = Math.min(...shown.map((point) => point.value - (point.spread ?? 0)), ...(band ? [band.low] : []));
  const high = Math.max(...shown.map((point) => point.value + (point.spread ?? 0)), ...(band ? [band.high] : []));
  const margin = Math.max(2, (10 - (high - low)) / 2);
  return [Math.floor(low - margin), Math.ceil(high + margin)];
}

function drawOver(plot: uPlot, { points, marks, line, band }: Series, colours: Colours): void {
  const { ctx } = plot;
  const ratio = devicePixelRatio;
  ctx.save();
  if (band) drawBand(plot, band, colours, ratio);
  drawLine(plot, line, colours, ratio);
  for (const mark of marks) drawMark(plot, mark, colours, ratio);
  const size = points.length > CROWD ? 3 : 5;
  for (const point of points) drawPoint(plot, point, colours, size * ratio);
  ctx.restore();
}

function drawPoint(plot: uPlot, point: ChartPoint, colours: Colours, size: number): void {
  const { ctx } = plot;
  ctx.lineWidth = 0.4 * size;
  const x = plot.valToPos(point.at / 1000, "x", true);
  const y = plot.valToPos(point.value, "y", true);
  ctx.strokeStyle = colours.accent;
  ctx.beginPath();
  for (const side of point.spread === null ? [] : [-point.spread, point.spread]) {
    const end = plot.valToPos(point.value + side, "y", true);
    ctx.moveTo(x, y);
    ctx.lineTo(x, end);
    ctx.moveTo(x - 0.8 * size, end);
    ctx.lineTo(x + 0.8 * size, end);
  }
  ctx.stroke();
  ctx.fillStyle = colours.accent;
  ctx.strokeStyle = colours.paper;
  ctx.beginPath();
  ctx.arc(x, y, size, 0, 2 * Math.PI);
  ctx.fill();
  ctx.stroke();
}

function drawMark(plot: uPlot, mark: ChartMark, colours: Colours, ratio: number): void {
  const { ctx, bbox } = plot;
  const x = plot.valToPos(mark.at / 1000, "x", true);
  if (x < bbox.left || x > bbox.left + bbox.width) return;
  ctx.strokeStyle = colours.ink;
  ctx.lineWidth = 1.5 * ratio;
  ctx.setLineDash([5 * ratio, 4 * ratio]);
  ctx.beginPath();
  ctx.moveTo(x, bbox.top);
  ctx.lineTo(x, bbox.top + bbox.height);
  ctx.stroke();
  ctx.setLineDash([]);
  ctx.fillStyle = colours.ink;
  ctx.font = `${13 * ratio}px ${colours.face}`;
  const right = x < bbox.left + bbox.width / 2;
  ctx.textAlign = right ? "left" : "right";
  ctx.fillText(mark.label, x + (right ? 6 : -6) * ratio, bbox.top + 14 * ratio);
}
