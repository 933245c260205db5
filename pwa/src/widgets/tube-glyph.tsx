/**
 * The program's mark: a narrow outlined tube, the lower layer filled to the content, the uncertainty as a soft band
 * across the parting line.
 */

import { useId } from "preact/hooks";
import { labels } from "../i18n";
import { decimalsFor, number } from "../i18n/format";
import { BORE, layers, tubeOutline, VIEW } from "./tube-shape";

export interface TubeGlyphProps {
  /** Ethanol, % (V/V); null for a source without a test. */
  content: number | null;
  /** Half-width at 95 % coverage, points; null if unknown. */
  uncertainty: number | null;
  /** Limits of a range shown instead of a content, % (V/V). */
  span?: readonly [number, number] | null;
  /** Limits of the band if it is not content ± uncertainty: the next fill of a source, % (V/V). */
  next?: readonly [number, number] | null;
  size?: "small" | "medium" | "large";
  /** Draws the graduations at 0, 10 … 100 %. */
  scale?: boolean;
  /** The number is beside it and is read out there, so screen readers skip the glyph. */
  silent?: boolean;
}

export function TubeGlyph(props: TubeGlyphProps) {
  const { content, uncertainty, span = null, next = null, size = "small", scale, silent } = props;
  const gradient = `tube${useId().replace(/\W/g, "")}`;
  const drawn = layers(content, uncertainty, span, next);
  const width = scale ? VIEW.width + VIEW.scale : VIEW.width;
  return (
    <svg
      class={`tube tube-${size}`}
      viewBox={`0 0 ${width} ${VIEW.height}`}
      role="img"
      aria-hidden={silent ? "true" : undefined}
      focusable="false"
    >
      <title>{next && content !== null ? nextName(content, next) : tubeName(content, uncertainty, span)}</title>
      {drawn && (
        <>
          <clipPath id={`${gradient}c`}>
            <path d={tubeOutline} />
          </clipPath>
          <linearGradient id={gradient} x1="0" y1="0" x2="0" y2="1">
            <stop offset="0" class="tube-fade" />
            <stop offset="1" class="tube-full" />
          </linearGradient>
          <g clip-path={`url(#${gradient}c)`}>
            <rect class="tube-layer" x={BORE.left} width={BORE.width} y={drawn.solid} height={VIEW.height} />
            <rect
              fill={`url(#${gradient})`}
              x={BORE.left}
              width={BORE.width}
              y={drawn.top}
              height={drawn.solid - drawn.top}
            />
            {drawn.line !== null && (
              <line class="tube-line" x1={BORE.left} x2={BORE.left + BORE.width} y1={drawn.line} y2={drawn.line} />
            )}
          </g>
        </>
      )}
      {scale && <Graduations />}
      <path class={drawn ? "tube-glass" : "tube-glass tube-unused"} d={tubeOutline} />
    </svg>
  );
}

/** What a screen reader says for the glyph. */
export function tubeName(content: number | null, uncertainty: number | null, span: TubeGlyphProps["span"] = null) {
  const words = labels.parts;
  if (span) return words.tubeSpan(number(span[0], 1), number(span[1], 1));
  if (content === null) return words.tubeEmpty;
  if (uncertainty === null) return words.tubeWithout(number(content, 1));
  const decimals = decimalsFor(uncertainty);
  return words.tube(number(content, decimals), number(uncertainty, decimals));
}

function nextName(content: number, [low, high]: readonly [number, number]): string {
  return labels.parts.tubeNext(number(content, 0), number(low, 0), number(high, 0));
}

function Graduations() {
  const marks = Array.from({ length: 11 }, (_, index) => index * 10);
  return (
    <g class="tube-scale">
      {marks.map((mark) => {
        const y = BORE.bottom - (BORE.height * mark) / 100;
        const long = mark % 50 === 0;
        return <line key={mark} x1={VIEW.width} x2={VIEW.width + (long ? 8 : 4.5)} y1={y} y2={y} />;
      })}
    </g>
  );
}
