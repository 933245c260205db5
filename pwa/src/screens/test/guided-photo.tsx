/** A photo taken through the guide: first the live picture, then the reading. */

import type { ComponentChildren } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Shot } from "./photo-line";
import "./guide.css";
import type { Marks } from "../../chemistry/axis";
import { labels } from "../../i18n";
import type { DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { useStored } from "../../state/hooks";
import { dropPhotos } from "../../store/photos";
import { readSight } from "../../store/sights";
import { Waiting } from "../../widgets/waiting";
import { GuidedReading } from "./guided-reading";
import { LiveGuide } from "./live-guide";

export interface GuidedPhotoProps {
  run: DraftRun;
  tube: TubeRow;
  /** The volume at the bottom mark in an earlier run's photo, mL. */
  bottom: number | null;
  /** The other runs' photos. */
  photos: readonly string[];
  onPhoto: (photo: string | null) => void;
  onTaken: (entry: Partial<DraftRun>) => void;
  /** The four crosses are set by hand from here on. */
  onByHand: (marks: Marks) => void;
  onRefused: () => void;
  onBack: () => void;
}

export default function GuidedPhoto({ run, tube, bottom, photos, onPhoto, ...on }: GuidedPhotoProps) {
  const sight = useStored(() => readSight(tube.id), ["settings"], [tube.id]);
  const [shot, setShot] = useState<Shot | null>(null);
  if (sight === undefined) return <Waiting word={labels.common.opening} />;
  const again = (old: Shot) => {
    onPhoto(null);
    if (!photos.includes(old.digest)) void dropPhotos([old.digest]);
    setShot(null);
  };
  const taken = (next: Shot) => {
    onPhoto(next.digest);
    setShot(next);
  };
  return (
    <GuideSheet onBack={on.onBack}>
      {shot === null ? (
        <LiveGuide {...{ run, tube, bottom, sight }} onShot={taken} onRefused={on.onRefused} onBack={on.onBack} />
      ) : (
        <GuidedReading {...{ run, tube, shot }} onAgain={() => again(shot)} {...on} />
      )}
    </GuideSheet>
  );
}

/** Covers everything else: the picture needs all the space. */
function GuideSheet({ onBack, children }: { onBack: () => void; children: ComponentChildren }) {
  const box = useRef<HTMLDialogElement>(null);
  useLayoutEffect(() => box.current?.showModal(), []);
  return (
    <dialog
      ref={box}
      class="guide-sheet"
      aria-label={labels.guide.title}
      onCancel={(event) => {
        event.preventDefault();
        onBack();
      }}
    >
      {children}
    </dialog>
  );
}
