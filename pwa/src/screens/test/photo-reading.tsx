/** The line of a run, read from its photo: four crosses, the reading from them, and the person's confirmation. */

import { useState } from "preact/hooks";
import type { Marks } from "../../chemistry/axis";
import type { Suggestion } from "../../chemistry/photo";
import { labels } from "../../i18n";
import { mL, number } from "../../i18n/format";
import { topOfFill } from "../../model/progress";
import { guideOf, type Sight, sightOf } from "../../model/sight";
import type { PhotoMarks as KeptMarks } from "../../records";
import type { DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { useStored } from "../../state/hooks";
import { readSight, saveSight } from "../../store/sights";
import { NumberField } from "../../widgets/number-field";
import type { Picture } from "../../widgets/photo-loupe";
import { marksAtFirst, PhotoMarks } from "../../widgets/photo-marks";
import { usePhoto, useSize } from "../../widgets/saved-photo";
import { Waiting } from "../../widgets/waiting";
import { FindLine } from "./find-line";
import { bottomOffered, linePixels, type PhotoLine, photoLine } from "./photo-line";

export interface PhotoReadingProps {
  digest: string;
  run: DraftRun;
  tube: TubeRow;
  /** The volume at the bottom mark in an earlier run's photo, mL. */
  bottom: number | null;
  /** Initial positions of the crosses on a photo without any. */
  start?: Marks | null;
  onTaken: (entry: Partial<DraftRun>) => void;
  onBack: () => void;
}

export default function PhotoReading(props: PhotoReadingProps) {
  const photo = usePhoto(props.digest);
  const size = useSize(photo);
  const sight = useStored(() => readSight(props.tube.id), ["settings"], [props.tube.id]);
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
  if (photo === null || size === null || sight === undefined) return <Waiting word={labels.common.opening} />;
  return (
    <Marked
      {...props}
      sight={sight}
      photo={photo.blob}
      picture={{ address: photo.address, alt: labels.parts.photoAlt(1), ...size }}
    />
  );
}

interface MarkedProps extends PhotoReadingProps {
  photo: Blob;
  picture: Picture;
  sight: Sight | null;
}

function Marked({ digest, run, tube, bottom: earlier, start, sight, onTaken, onBack, photo, picture }: MarkedProps) {
  const words = labels.photo;
  const before = run.marks?.photo === digest ? run.marks : null;
  const [marks, setMarks] = useState<Marks>(before ? placesOf(before) : (start ?? offered(picture, run, sight)));
  const [bottom, setBottom] = useState<number | null>(
    before?.bottom_volume ?? sight?.bottom ?? earlier ?? bottomOffered(run),
  );
  // Crosses that nobody has checked give no reading.
  const [moved, setMoved] = useState(false);
  const [seen, setSeen] = useState<Suggestion | null>(null);
  const pixels = linePixels(marks, seen);
  const found = moved ? photoLine(tube, run, digest, marks, bottom, pixels) : null;
  const reading = typeof found === "object" ? found : null;
  const put = (next: Marks) => {
    setMarks(next);
    setMoved(true);
  };
  const take = ({ entry }: PhotoLine) => {
    onTaken(entry);
    const [water, fuel] = [run.water, topOfFill(run)];
    if (bottom === null || water === null || fuel === null) return;
    // The reading is valid even if the tube's proportions cannot be saved for the next photo's guide.
    saveSight(tube.id, sightOf(marks, { bottom, water, fuel }), false).catch(console.error);
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
          <button type="button" class="main" onClick={() => take(reading)}>
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

/** The tube's marks in their known proportions, once a photo showed them. */
function offered(picture: Picture, run: DraftRun, sight: Sight | null): Marks {
  const [water, fuel] = [run.water, topOfFill(run)];
  if (sight === null || water === null || fuel === null) return marksAtFirst(picture);
  return guideOf(picture, { water, fuel }, bottomOffered(run), sight).marks;
}

function placesOf({ bottom, water, fuel, line }: KeptMarks): Marks {
  return { bottom, water, fuel, line };
}
