/** The camera's live picture with the outline of the tube over it; one tap takes the photo. */

import { useState } from "preact/hooks";
import { pictureOf } from "../../files/picture";
import { labels } from "../../i18n";
import { mL } from "../../i18n/format";
import { topOfFill } from "../../model/progress";
import { type Guide, guideOf, type Sight, scaled, sightOf, WIDTH, widened } from "../../model/sight";
import type { DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { isFull } from "../../store/keep";
import { savePhoto } from "../../store/photos";
import { saveSight } from "../../store/sights";
import { GuideOutline } from "../../widgets/guide-outline";
import { LevelSign } from "../../widgets/level-sign";
import { type Camera, useCamera } from "../../widgets/use-camera";
import type { Shot } from "./photo-line";
import { bottomOffered } from "./photo-line";

export interface LiveGuideProps {
  run: DraftRun;
  tube: TubeRow;
  bottom: number | null;
  /** What earlier photos showed about the tube. */
  sight: Sight | null;
  onShot: (shot: Shot) => void;
  onRefused: () => void;
  onBack: () => void;
}

export function LiveGuide({ run, tube, bottom, sight, onShot, onRefused, onBack }: LiveGuideProps) {
  const words = labels.guide;
  const camera = useCamera(onRefused, onBack);
  const [width, setWidth] = useState(sight?.width ?? WIDTH.usual);
  const [fault, setFault] = useState("");
  const filled = { water: run.water ?? tube.water_mark, fuel: topOfFill(run) ?? tube.fuel_mark };
  const shape = camera.size && guideOf(camera.size, filled, bottom ?? bottomOffered(filled), sight);
  const guide = shape && { ...shape, width: width * Math.abs(shape.marks.fuel.y - shape.marks.bottom.y) };
  const opening = guide === null;
  const take = async () => {
    if (!guide) return;
    try {
      onShot(await shotOf(camera, guide));
      await saveSight(tube.id, sightOf(guide.marks, guide.volumes, width), true);
    } catch (reason) {
      setFault(isFull(reason) ? labels.parts.photoFull : labels.parts.photoFault);
    }
  };
  return (
    <div class="guide-live">
      <div class="guide-words">
        <p>{guide ? hintOf(guide) : labels.common.opening}</p>
        <LevelSign />
      </div>
      <div class="guide-board">
        <video ref={camera.video} muted playsInline aria-label={words.picture} />
        {camera.size && guide && <GuideOutline size={camera.size} guide={guide} />}
      </div>
      {fault && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      <button type="button" class="main" disabled={opening} onClick={() => void take()}>
        {words.take}
      </button>
      <Fitting camera={camera} width={width} onWidth={setWidth} onBack={onBack} />
    </div>
  );
}

function hintOf({ volumes: { bottom, water, fuel } }: Guide): string {
  return labels.guide.hint(mL(bottom, 0), mL(water, 0), mL(fuel, 0));
}

interface FittingProps {
  camera: Camera;
  width: number;
  onWidth: (width: number) => void;
  onBack: () => void;
}

function Fitting({ camera: { torch }, width, onWidth, onBack }: FittingProps) {
  const words = labels.guide;
  return (
    <div class="guide-fitting">
      {torch && (
        <button type="button" aria-pressed={torch.lit} onClick={torch.turn}>
          {words.torch}
        </button>
      )}
      <button type="button" onClick={() => onWidth(widened(width, false))}>
        {words.narrower}
      </button>
      <button type="button" onClick={() => onWidth(widened(width, true))}>
        {words.wider}
      </button>
      <button type="button" class="plain" onClick={onBack}>
        {words.back}
      </button>
    </div>
  );
}

/** The current frame, saved like any other photo, with the guide on it. */
async function shotOf({ video, size }: Camera, guide: Guide): Promise<Shot> {
  if (video.current === null || size === null) throw new Error("no picture yet");
  const picture = await pictureOf(video.current, size);
  const digest = await savePhoto(picture, new Date());
  const photo = new Blob([picture.bytes], { type: picture.type });
  return { digest, photo, size: picture, guide: scaled(guide, picture.height / size.height) };
}
