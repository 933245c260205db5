/** The line of a run, read from its photo: four crosses, what follows from them, and the person's word for it. */

import { useState } from "preact/hooks";
import type { Marks } from "../../chemistry/axis";
import type { Suggestion } from "../../chemistry/photo";
import { mL, number } from "../../format";
import { labels } from "../../labels";
import { usePhoto, useSize } from "../../parts/kept-photo";
import { NumberField } from "../../parts/number-field";
import { marksAtFirst, PhotoMarks, type Picture } from "../../parts/photo-marks";
import { Waiting } from "../../parts/waiting";
import type { PhotoMarks as KeptMarks } from "../../records";
import type { DraftRun, TubeRow } from "../../store/schema";
import { FindLine } from "./find-line";
import { bottomOffered, linePixels, photoLine } from "./photo-line";
import { topOfFill } from "./progress";

export interface PhotoReadingProps {
  digest: string;
  run: DraftRun;
  tube: TubeRow;
  /** What the bottom mark stood for in an earlier run's photo, mL. */
  bottom: number | null;
  onTaken: (entry: Partial<DraftRun>) => void;
  onBack: () => void;
}

export default function PhotoReading(props: PhotoReadingProps) {
  const photo = usePhoto(props.digest);
  const size = useSize(photo);
  const words = labels.photo;
  if (photo === "missing" || size === "unreadable") {
    return (
      <>
        <p class="fault" role="alert">
          {photo === "missing" ? labels.parts.photoMissing : words.unreadable}
        </p>
        <button type="button" onClick={props.onBack}>
          {words.back}
        </button>
      </>
    );
  }
  if (photo === null || size === null) return <Waiting word={labels.common.opening} />;
  return (
    <Marked
      {...props}
      photo={photo.blob}
      picture={{ address: photo.address, alt: labels.parts.photoAlt(1), ...size }}
    />
  );
}

interface MarkedProps extends PhotoReadingProps {
  photo: Blob;
  picture: Picture;
}

function Marked({ digest, run, tube, bottom: earlier, onTaken, onBack, photo, picture }: MarkedProps) {
  const words = labels.photo;
  const before = run.marks?.photo === digest ? run.marks : null;
  const [marks, setMarks] = useState<Marks>(before ? placesOf(before) : marksAtFirst(picture));
  const [bottom, setBottom] = useState<number | null>(before?.bottom_volume ?? earlier ?? bottomOffered(run));
  // Nothing is read from crosses that nobody has looked at.
  const [moved, setMoved] = useState(false);
  const [seen, setSeen] = useState<Suggestion | null>(null);
  const pixels = linePixels(marks, seen);
  const found = moved ? photoLine(tube, run, digest, marks, bottom, pixels) : null;
  const reading = typeof found === "object" ? found : null;
  const put = (next: Marks) => {
    setMarks(next);
    setMoved(true);
  };
  return (
    <section class="form photo-reading" aria-label={words.title}>
      <h3>{words.title}</h3>
      <NumberField
        label={words.bottomVolume}
        unit="mL"
        value={bottom}
        onValue={setBottom}
        step={tube.scale === "volume" ? tube.graduation : 1}
        min={0}
        max={run.water ?? 0}
        hint={labels.test.line.photoBottomHint(mL(run.water ?? 0, 1), mL(topOfFill(run) ?? 0, 1))}
      />
      <PhotoMarks picture={picture} marks={marks} onMarks={put} band={seen && pixels} />
      <FindLine
        photo={photo}
        marks={marks}
        onSeen={(next) => {
          setSeen(next);
          if (next) put({ ...marks, line: next.place });
        }}
      />
      <p role="status">{reading && words.reads(number(reading.line, 2), mL(reading.half_width, 2))}</p>
      {typeof found === "string" && (
        <p class="fault" role="alert">
          {found}
        </p>
      )}
      <div class="buttons">
        {reading && (
          <button type="button" class="main" onClick={() => onTaken(reading.entry)}>
            {words.take}
          </button>
        )}
        <button type="button" class="plain" onClick={onBack}>
          {words.back}
        </button>
      </div>
    </section>
  );
}

function placesOf({ bottom, water, fuel, line }: KeptMarks): Marks {
  return { bottom, water, fuel, line };
}
