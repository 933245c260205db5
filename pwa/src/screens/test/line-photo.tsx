/** The run's photo: taken through the guide or not, and the line read from it. */

import { useState } from "preact/hooks";
import type { Marks } from "../../chemistry/axis";
import { labels } from "../../i18n";
import { mL } from "../../i18n/format";
import type { DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { lazy } from "../../widgets/lazy";
import { PhotoField } from "../../widgets/photo-field";
import type { GuidedPhotoProps } from "./guided-photo";
import type { PhotoReadingProps } from "./photo-reading";

const MOST_PHOTOS = 6;
/** Only marking a photo needs this code, and only the guide needs the guide's. */
const PhotoReading = lazy<PhotoReadingProps>(() => import("./photo-reading"));
const GuidedPhoto = lazy<GuidedPhotoProps>(() => import("./guided-photo"));

export interface LinePhotoProps {
  run: DraftRun;
  tube: TubeRow;
  changeRun: (part: Partial<DraftRun>) => void;
  /** The other runs' photos. */
  photos: readonly string[];
  onPhoto: (photo: string | null) => void;
  /** Restores the present photo, with the reading from it. */
  onPutBack: () => void;
  /** The volume at the bottom mark in an earlier run's photo, mL. */
  bottom: number | null;
}

/** What is open: the guide, or the crosses on the photo with their initial positions. */
type Open = "guide" | { marks: Marks | null } | null;

export default function LinePhoto(props: LinePhotoProps) {
  const { run, tube, changeRun, photos, onPhoto, bottom } = props;
  const [open, setOpen] = useState<Open>(null);
  const [refused, setRefused] = useState(false);
  const leave = () => setOpen(null);
  const take = (entry: Partial<DraftRun>) => {
    changeRun(entry);
    leave();
  };
  if (open === "guide") {
    return (
      <GuidedPhoto
        {...{ run, tube, bottom, photos, onPhoto }}
        onTaken={take}
        onByHand={(marks) => setOpen({ marks })}
        onRefused={() => {
          setRefused(true);
          leave();
        }}
        onBack={leave}
      />
    );
  }
  if (open !== null && run.photo !== null) {
    return (
      <PhotoReading digest={run.photo} {...{ run, tube, bottom }} start={open.marks} onTaken={take} onBack={leave} />
    );
  }
  return <Closed {...props} refused={refused} onOpen={setOpen} />;
}

interface ClosedProps extends LinePhotoProps {
  /** The camera could not be used. */
  refused: boolean;
  onOpen: (open: Open) => void;
}

function Closed({ run, tube, photos, onPhoto, onPutBack, refused, onOpen }: ClosedProps) {
  const words = labels.test.line;
  const { photo, line_half_width } = run;
  const readable = tube.scale !== "unknown";
  const full = photo === null && photos.length >= MOST_PHOTOS;
  return (
    <div class="field">
      <p>
        <b>{words.photo}</b> <span class="hint">{words.photoOptional}</span>
      </p>
      {photo === null && !full && readable && !refused && (
        <button type="button" onClick={() => onOpen("guide")}>
          {labels.guide.open}
        </button>
      )}
      {refused && (
        <p class="fault" role="alert">
          {labels.guide.refused}
        </p>
      )}
      {full ? (
        <p class="hint">{words.photoMost}</p>
      ) : (
        <PhotoField
          digests={photo === null ? [] : [photo]}
          elsewhere={photos}
          most={1}
          onDigests={([taken]) => onPhoto(taken ?? null)}
          onPutBack={onPutBack}
        />
      )}
      {line_half_width !== null && <p role="status">{words.photoTaken(mL(line_half_width, 2))}</p>}
      {photo !== null && !readable && <p class="hint">{words.photoScale}</p>}
      {photo !== null && readable && (
        <button type="button" onClick={() => onOpen({ marks: null })}>
          {run.marks ? words.photoAgain : words.photoRead}
        </button>
      )}
    </div>
  );
}
