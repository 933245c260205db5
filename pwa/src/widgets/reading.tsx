/** A content with its uncertainty, always together. */

import { labels } from "../i18n";
import { decimalsFor, number } from "../i18n/format";
import { tubeName } from "./tube-glyph";

export interface ReadingProps {
  content: number | null;
  uncertainty: number | null;
  span?: readonly [number, number] | null;
  size?: "small" | "large";
}

export function Reading({ content, uncertainty, span = null, size = "small" }: ReadingProps) {
  const decimals = decimalsFor(uncertainty ?? 1);
  return (
    <p class={`reading reading-${size}`} data-span={span ? "" : undefined}>
      <span class="unseen">{tubeName(content, uncertainty, span)}</span>
      <span aria-hidden="true">{mainFigure(content, span, decimals)}</span>
      {content !== null && span === null && (
        <span aria-hidden="true" class="reading-spread">
          {uncertainty === null ? labels.parts.spreadUnknown : labels.parts.spread(number(uncertainty, decimals))}
        </span>
      )}
    </p>
  );
}

function mainFigure(content: number | null, span: readonly [number, number] | null, decimals: number): string {
  if (span) return labels.parts.span(number(span[0], 1), number(span[1], 1));
  if (content === null) return labels.parts.none;
  return number(content, decimals);
}
