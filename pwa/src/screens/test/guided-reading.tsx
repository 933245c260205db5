/** The reading from a photo taken through the guide: the line, magnified, and the person's confirmation. */

import { useEffect, useState } from "preact/hooks";
import type { Marks } from "../../chemistry/axis";
import { labels } from "../../i18n";
import { mL, number } from "../../i18n/format";
import type { DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { PhotoCut } from "../../widgets/photo-cut";
import { Waiting } from "../../widgets/waiting";
import type { Shot } from "./photo-line";
import { type Guided, linePixels, photoLine, readGuided } from "./photo-line";

export interface GuidedReadingProps {
  run: DraftRun;
  tube: TubeRow;
  shot: Shot;
  onTaken: (entry: Partial<DraftRun>) => void;
  onByHand: (marks: Marks) => void;
  onAgain: () => void;
  onBack: () => void;
}

export function GuidedReading({ run, tube, shot, onTaken, onByHand, onAgain, onBack }: GuidedReadingProps) {
  const words = labels.guide;
  const [found, setFound] = useState<Guided | "unreadable" | null>(null);
  const address = useAddress(shot.photo);
  useEffect(() => {
    let over = false;
    readGuided(shot.photo, shot.guide, tube).then(
      (next) => !over && setFound(next),
      (reason) => {
        console.error(reason);
        if (!over) setFound("unreadable");
      },
    );
    return () => {
      over = true;
    };
  }, [shot]);
  if (found === null || address === null) return <Waiting word={labels.photo.searching} />;
  const guided = found === "unreadable" ? null : found;
  return (
    <div class="guide-found form">
      {guided ? (
        <Found {...{ run, tube, shot, guided, address, onTaken }} />
      ) : (
        <p class="fault" role="alert">
          {labels.photo.unreadable}
        </p>
      )}
      <div class="buttons">
        {guided && (
          <button type="button" class={guided.fitted ? "" : "main"} onClick={() => onByHand(guided.marks)}>
            {words.byHand}
          </button>
        )}
        <button type="button" onClick={onAgain}>
          {words.again}
        </button>
        <button type="button" class="plain" onClick={onBack}>
          {words.leave}
        </button>
      </div>
    </div>
  );
}

interface FoundProps extends Pick<GuidedReadingProps, "run" | "tube" | "shot" | "onTaken"> {
  guided: Guided;
  address: string;
}

function Found({ run, tube, shot, guided, address, onTaken }: FoundProps) {
  const { marks, mark_pixels, seen } = guided;
  const { digest, guide } = shot;
  if (seen === null || typeof seen === "string") {
    return (
      <p class="fault" role="alert">
        {seen ?? labels.photo.noClearLine}
      </p>
    );
  }
  const line_pixels = linePixels(marks, seen);
  const reading = photoLine(tube, run, digest, marks, guide.volumes.bottom, line_pixels, mark_pixels);
  if (reading === null || typeof reading === "string") return reading && <p class="fault">{reading}</p>;
  return (
    <>
      <Cuts {...{ guided, shot, address }} band={line_pixels} />
      <p role="status">{labels.photo.reads(number(reading.line, 2), mL(reading.half_width, 2))}</p>
      <button type="button" class={guided.fitted ? "main" : ""} onClick={() => onTaken(reading.entry)}>
        {guided.fitted ? labels.guide.use : labels.guide.useHeld}
      </button>
    </>
  );
}

/** The line and the three marks: nobody should accept a reading without seeing them. */
function Cuts({ guided, shot, address, band }: Pick<FoundProps, "guided" | "shot" | "address"> & { band: number }) {
  const words = labels.guide;
  const { size, guide } = shot;
  const cut = { address, size, width: guide.width };
  const { marks, fitted, mark_pixels } = guided;
  return (
    <>
      <PhotoCut {...cut} place={marks.line} band={band} alt={words.line} />
      <p class="hint">{words.look}</p>
      <div class="guide-cuts">
        {(["bottom", "water", "fuel"] as const).map((name) => {
          const volume = mL(guide.volumes[name], 0);
          return (
            <figure key={name}>
              <PhotoCut {...cut} place={marks[name]} band={mark_pixels} alt={words.mark(volume)} />
              <figcaption>{volume}</figcaption>
            </figure>
          );
        })}
      </div>
      <p class="hint">{fitted ? words.fitted : words.check}</p>
    </>
  );
}

function useAddress(photo: Blob): string | null {
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    const made = URL.createObjectURL(photo);
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [photo]);
  return address;
}
