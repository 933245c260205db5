/** Photos of the tube: from the camera or a file, shrunk on the phone before they are saved. */

import { useState } from "preact/hooks";
import { shrink } from "../files/picture";
import { labels } from "../i18n";
import { isFull } from "../store/keep";
import { dropPhotos, putPhotosBack, savePhoto } from "../store/photos";
import { SavedPhoto } from "./saved-photo";
import { offerUndo } from "./undo";

export interface PhotoFieldProps {
  digests: readonly string[];
  most: number;
  /** Also shown in another place: when removed here, they stay on the phone. */
  elsewhere?: readonly string[];
  onDigests: (digests: string[]) => void;
  /** Restores everything that belonged to a photo. */
  onPutBack: () => void;
}

export function PhotoField({ digests, most, elsewhere = [], onDigests, onPutBack }: PhotoFieldProps) {
  const [working, setWorking] = useState(false);
  const [fault, setFault] = useState("");
  const words = labels.parts;

  const add = async (file: File | undefined) => {
    if (!file) return;
    setWorking(true);
    setFault("");
    try {
      const digest = await savePhoto(await shrink(file), new Date());
      if (!digests.includes(digest)) onDigests([...digests, digest]);
    } catch (reason) {
      setFault(isFull(reason) ? words.photoFull : words.photoFault);
    } finally {
      setWorking(false);
    }
  };
  const remove = (leaving: string) => {
    const gone = dropPhotos(elsewhere.includes(leaving) ? [] : [leaving]);
    onDigests(digests.filter((digest) => digest !== leaving));
    offerUndo(words.undo.photo, () => void gone.then(putPhotosBack).then(onPutBack));
  };
  return (
    <div class="field">
      {digests.length > 0 && (
        <ul class="photos">
          {digests.map((digest, index) => (
            <li key={digest}>
              <SavedPhoto digest={digest} alt={words.photoAlt(index + 1)} />
              <button type="button" onClick={() => remove(digest)}>
                {words.photoRemove}
              </button>
            </li>
          ))}
        </ul>
      )}
      {digests.length < most && (
        <label class="button photo-add">
          {digests.length === 0 ? words.photoAdd : words.photoAddMore}
          <input
            type="file"
            accept="image/*"
            capture="environment"
            disabled={working}
            onChange={(event) => {
              const input = event.currentTarget;
              void add(input.files?.[0]).then(() => {
                input.value = "";
              });
            }}
          />
        </label>
      )}
      <p class="hint" role="status">
        {working ? words.photoWorking : words.photoHint}
      </p>
      {fault && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
    </div>
  );
}

export default PhotoField;
