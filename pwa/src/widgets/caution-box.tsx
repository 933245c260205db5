/** A caution next to its subject: framed in ink with a hatched edge, so that it stands out without a colour. */

import type { ComponentChildren } from "preact";

export interface CautionBoxProps {
  title: string;
  points?: readonly string[];
  children?: ComponentChildren;
}

export function CautionBox({ title, points = [], children }: CautionBoxProps) {
  return (
    <aside class="caution" aria-label={title}>
      <p class="caution-title">{title}</p>
      {points.length === 1 && <p>{points[0]}</p>}
      {points.length > 1 && (
        <ul>
          {points.map((point) => (
            <li key={point}>{point}</li>
          ))}
        </ul>
      )}
      {children}
    </aside>
  );
}
