/** Draws a card: always dark ink on light paper, so that it is readable wherever it arrives. */

import { labels } from "../../../i18n";
import { BORE, layers, tubeOutline, VIEW } from "../../../widgets/tube-shape";
import type { Card } from "./card";

/** The day theme's, from styles/tokens.css. */
export const COLOURS = {
  paper: "#f2eddc",
  leaf: "#fbf8ed",
  ink: "#201b13",
  soft: "#5b5343",
  accent: "#0a5a66",
} as const;
export const SIZE = { width: 1080, height: 1350 } as const;

const EDGE = 72;
const FACE = 'system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", sans-serif';

/** Throws if the browser cannot draw. */
export async function drawCard(card: Card): Promise<Blob> {
  const canvas = document.createElement("canvas");
  canvas.width = SIZE.width;
  canvas.height = SIZE.height;
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("no drawing here");
  paint(pen, card);
  return new Promise((give, refuse) =>
    canvas.toBlob((blob) => (blob ? give(blob) : refuse(new Error("no picture came out"))), "image/png"),
  );
}

function paint(pen: CanvasRenderingContext2D, card: Card): void {
  const wide = SIZE.width - 2 * EDGE;
  pen.fillStyle = COLOURS.paper;
  pen.fillRect(0, 0, SIZE.width, SIZE.height);
  let y = write(pen, card.source, { x: EDGE, y: 130, wide, size: 56, weight: 650, most: 2 });
  y = write(pen, card.when, { x: EDGE, y: y + 10, wide, size: 36, colour: COLOURS.soft });

  const top = y + 30;
  const height = 560;
  drawTube(pen, card, EDGE + 20, top, height);
  const x = EDGE + 280;
  const room = SIZE.width - EDGE - x;
  let down = write(pen, labels.passOn.content, { x, y: top + 70, wide: room, size: 40, colour: COLOURS.soft });
  const large = sizeFor(pen, card.figure, room, 190);
  down += 0.7 * large;
  write(pen, card.figure, { x, y: down, wide: room, size: large, weight: 650 });
  write(pen, card.spread, { x, y: down + 110, wide: room, size: 84, weight: 600 });
  down = write(pen, card.notes[0] ?? "", { x, y: down + 190, wide: room, size: 36 });

  y = Math.max(top + height, down) + 70;
  for (const note of card.notes.slice(1)) y = write(pen, note, { x: EDGE, y, wide, size: 36 }) + 6;
  pen.fillStyle = COLOURS.ink;
  pen.fillRect(EDGE, y - 20, wide, 3);
  y += 36;
  for (const caution of card.cautions)
    y = write(pen, caution, { x: EDGE, y, wide, size: 32, colour: COLOURS.soft }) + 4;
  write(pen, labels.common.name, { x: EDGE, y: SIZE.height - 44, wide, size: 34, weight: 650, colour: COLOURS.accent });
}

interface Written {
  x: number;
  /** Baseline of the first line. */
  y: number;
  wide: number;
  /** Pixels */
  size: number;
  weight?: number;
  colour?: string;
  /** Lines at most. */
  most?: number;
}

/** Writes as many lines as needed; returns the baseline of the next line. */
function write(pen: CanvasRenderingContext2D, text: string, written: Written): number {
  const { x, y, wide, size, weight = 400, colour = COLOURS.ink, most = 4 } = written;
  pen.font = `${weight} ${size}px ${FACE}`;
  pen.fillStyle = colour;
  const lines = linesOf(text, wide, (part) => pen.measureText(part).width, most);
  for (const [index, line] of lines.entries()) pen.fillText(line, x, y + index * 1.3 * size);
  return y + lines.length * 1.3 * size;
}

/** Breaks between words; text that does not fit ends in an ellipsis. */
export function linesOf(text: string, wide: number, widthOf: (part: string) => number, most: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(" ")) {
    const longer = lines.length === 0 ? word : `${lines.at(-1)} ${word}`;
    if (lines.length > 0 && widthOf(longer) <= wide) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines.slice(0, most).map((line, index) => {
    const isLast = index === most - 1 && lines.length > most;
    if (!isLast && widthOf(line) <= wide) return line;
    let shown = line;
    while (shown.length > 1 && widthOf(`${shown}…`) > wide) shown = shown.slice(0, -1);
    return `${shown}…`;
  });
}

/** The largest size in pixels, up to `size`, at which the text fits on one line. */
function sizeFor(pen: CanvasRenderingContext2D, text: string, wide: number, size: number): number {
  pen.font = `650 ${size}px ${FACE}`;
  return Math.min(size, (size * wide) / pen.measureText(text).width);
}

function drawTube(pen: CanvasRenderingContext2D, card: Card, x: number, y: number, height: number): void {
  const drawn = layers(card.content, card.uncertainty, card.span);
  const glass = new Path2D(tubeOutline);
  const scale = height / VIEW.height;
  pen.save();
  pen.translate(x, y);
  pen.scale(scale, scale);
  if (drawn) {
    pen.save();
    pen.clip(glass);
    pen.fillStyle = COLOURS.accent;
    pen.fillRect(BORE.left, drawn.solid, BORE.width, VIEW.height);
    const soft = pen.createLinearGradient(0, drawn.top, 0, drawn.solid);
    soft.addColorStop(0, `${COLOURS.accent}1f`);
    soft.addColorStop(1, COLOURS.accent);
    pen.fillStyle = soft;
    pen.fillRect(BORE.left, drawn.top, BORE.width, drawn.solid - drawn.top);
    pen.restore();
  }
  pen.strokeStyle = COLOURS.ink;
  pen.lineWidth = 1;
  if (drawn?.line != null) stroke(pen, BORE.left, BORE.left + BORE.width, drawn.line);
  for (let mark = 0; mark <= 100; mark += 10) {
    stroke(pen, VIEW.width, VIEW.width + (mark % 50 === 0 ? 8 : 4.5), BORE.bottom - (BORE.height * mark) / 100);
  }
  pen.lineWidth = 1.6;
  pen.lineCap = "round";
  pen.stroke(glass);
  pen.restore();
}

function stroke(pen: CanvasRenderingContext2D, from: number, to: number, y: number): void {
  pen.beginPath();
  pen.moveTo(from, y);
  pen.lineTo(to, y);
  pen.stroke();
}
