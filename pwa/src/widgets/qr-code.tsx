/** A QR code (ISO/IEC 18004) of a short text, black on white in every theme, with the quiet zone that readers need. */

import "./qr.css";
import { correction, generate } from "lean-qr";

/** Modules around the code. */
const QUIET = 4;

export interface QrCodeProps {
  text: string;
  /** A description of the code for screen readers. */
  name: string;
}

export default function QrCode({ text, name }: QrCodeProps) {
  const code = generate(text, { minCorrectionLevel: correction.M });
  const size = code.size + 2 * QUIET;
  const rows = Array.from({ length: code.size }, (_, y) => y);
  const path = rows.flatMap((y) => rows.filter((x) => code.get(x, y)).map((x) => `M${x + QUIET} ${y + QUIET}h1v1h-1z`));
  return (
    <svg class="qr" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={name} shape-rendering="crispEdges">
      <path class="qr-paper" d={`M0 0h${size}v${size}H0z`} />
      <path class="qr-ink" d={path.join("")} />
    </svg>
  );
}
