/** The five pictures that explain the test, drawn from the tube glyph's lines. */

import type { ComponentChildren, JSX } from "preact";

/** The tube in the pictures: its bore, and the heights of its marks. */
const TUBE = { left: 100, width: 40, rim: 14, water: 96, line: 66, fuel: 40, bottom: 146 } as const;
const GLASS = "M95 14H145M100 14V126a20 20 0 0 0 40 0V14";

export const PICTURES: readonly (() => JSX.Element)[] = [Sample, Water, Fuel, Turn, Read];

function Picture({ children }: { children: ComponentChildren }) {
  return (
    <svg class="method-picture" viewBox="0 0 240 160" aria-hidden="true" focusable="false">
      {children}
    </svg>
  );
}

/** A can on the ground, the nozzle on it, open air, no flame. */
function Sample() {
  return (
    <Picture>
      <path class="method-thin" d="M18 34q10-9 20 0t20 0M28 50q10-9 20 0t20 0" />
      <path class="method-ground" d="M10 146H230" />
      <rect class="method-lower" x="72" y="112" width="68" height="34" />
      <path class="method-line" d="M72 92V146H140V86L126 78H96L82 92ZM98 78V68H114" />
      <path class="method-line" d="M122 78L138 58" />
      <path class="method-line" d="M128 70L150 40H176V62H158L143 76" />
      <path class="method-line" d="M176 50q28 2 28 34v62" />
      <g>
        <path class="method-thin" d="M32 120q-10-12 4-30q2 10 8 12q2-6 0-12q16 16 4 32q-8 8-16-2z" />
        <path class="method-cross" d="M16 88L62 130" />
      </g>
    </Picture>
  );
}

function Water() {
  return (
    <Picture>
      <Tube lower={TUBE.water} />
      <Mark at={TUBE.water} />
      <Eye at={TUBE.water} />
    </Picture>
  );
}

function Fuel() {
  return (
    <Picture>
      <Tube lower={TUBE.water} upper={TUBE.fuel} />
      <Mark at={TUBE.water} />
      <Mark at={TUBE.fuel} />
      <Eye at={TUBE.fuel} />
      <path class="method-thin" d="M176 60V112M170 62a6 6 0 0 1 12 0V110a10 10 0 1 1-12 0z" />
      <circle class="method-lower" cx="176" cy="118" r="6" />
    </Picture>
  );
}

function Turn() {
  return (
    <Picture>
      <g class="method-turned">
        <Tube lower={TUBE.water} upper={TUBE.fuel} />
        <path class="method-stopper" d="M98 4H142V16H98Z" />
      </g>
      <path class="method-line" d="M56 122A66 66 0 0 1 52 44" />
      <path class="method-line" d="M42 56L52 43L64 53" />
      <path class="method-line" d="M184 38A66 66 0 0 1 188 116" />
      <path class="method-line" d="M198 104L188 117L176 107" />
      <text class="method-text" x="206" y="150" text-anchor="middle">
        10×
      </text>
    </Picture>
  );
}

function Read() {
  return (
    <Picture>
      <Tube lower={TUBE.line} upper={TUBE.fuel + 2} grows />
      <Mark at={TUBE.water} />
      <Mark at={TUBE.fuel} />
      <path class="method-strong" d={`M92 ${TUBE.line}H148`} />
      <Eye at={TUBE.line} />
      <circle class="method-line" cx="196" cy="112" r="22" />
      <path class="method-line" d="M196 98V112L206 118" />
    </Picture>
  );
}

interface TubeProps {
  /** Height of the lower layer's surface. */
  lower: number;
  upper?: number;
  /** Animates once how the lower layer takes up the ethanol. */
  grows?: boolean;
}

function Tube({ lower, upper, grows }: TubeProps) {
  const layer = { x: TUBE.left, width: TUBE.width };
  return (
    <>
      <clipPath id="method-bore">
        <path d="M100 14V126a20 20 0 0 0 40 0V14Z" />
      </clipPath>
      <g clip-path="url(#method-bore)">
        {upper !== undefined && <rect class="method-upper" {...layer} y={upper} height={TUBE.bottom - upper} />}
        <rect
          class={grows ? "method-lower method-grows" : "method-lower"}
          {...layer}
          y={lower}
          height={TUBE.bottom - lower}
        />
        {upper !== undefined && <path class="method-thin" d={`M100 ${upper}H140`} />}
      </g>
      <path class="method-line" d={GLASS} />
    </>
  );
}

function Mark({ at }: { at: number }) {
  return <path class="method-line" d={`M140 ${at}H154`} />;
}

/** An eye at the left, level with what it reads. */
function Eye({ at }: { at: number }) {
  return (
    <>
      <path class="method-line" d={`M16 ${at}q18-17 36 0q-18 17-36 0z`} />
      <circle class="method-lower" cx="34" cy={at} r="6" />
      <path class="method-sight" d={`M58 ${at}H96`} />
    </>
  );
}
