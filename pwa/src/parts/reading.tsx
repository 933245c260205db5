/** A content with its uncertainty, always together. */

import { number } from "../format";
import { labels } from "../labels";
import { tubeName } from "./tube-glyph";

export interface ReadingProps {
  content: number | null;
  uncertainty: number | null;
  span?: readonly [number, number] | null;
  size?: "small" | "large";
}

export function Reading({ content, uncertainty, span = null, size = "small" }: ReadingProps) {
  return (
    <p class={`reading reading-${size}`} data-span={span ? "" : undefined}>
      <span class="unseen">{tubeName(content, uncertainty, span)}</span>
      <span aria-hidden="true">{mainFigure(content, span)}</span>
      {content !== null && span === null && (
        <span aria-hidden="true" class="reading-spread">
          {uncertainty === null ? labels.parts.spreadUnknown : labels.parts.spread(number(uncertainty, 1))}
        </span>
      )}
    </p>
  );
}

function mainFigure(content: number | null, span: readonly [number, number] | null): string {
  if (span) return labels.parts.span(number(span[0], 1), number(span[1], 1));
  if (content === null) return labels.parts.none;
  return number(content, 1);
}
