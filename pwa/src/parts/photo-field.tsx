/** Photos of the tube: from the camera or a file, made small on the phone before they are kept. */

import { useState } from "preact/hooks";
import { labels } from "../labels";
import { shrink } from "../picture";
import { isFull } from "../store/keep";
import { dropPhoto, keepPhoto } from "../store/photos";
import { ConfirmDialog } from "./confirm-dialog";
import { KeptPhoto } from "./kept-photo";

export interface PhotoFieldProps {
  digests: readonly string[];
  most: number;
  /** Shown in another place too: taken away here, they stay on the phone. */
  elsewhere?: readonly string[];
  onDigests: (digests: string[]) => void;
}

export function PhotoField({ digests, most, elsewhere = [], onDigests }: PhotoFieldProps) {
  const [working, setWorking] = useState(false);
  const [fault, setFault] = useState("");
  const [leaving, setLeaving] = useState<string | null>(null);
  const words = labels.parts;

  const add = async (file: File | undefined) => {
    if (!file) return;
    setWorking(true);
    setFault("");
    try {
      const digest = await keepPhoto(await shrink(file), new Date());
      if (!digests.includes(digest)) onDigests([...digests, digest]);
    } catch (reason) {
      setFault(isFull(reason) ? words.photoFull : words.photoFault);
    } finally {
      setWorking(false);
    }
  };
  const remove = () => {
    if (leaving === null) return;
    onDigests(digests.filter((digest) => digest !== leaving));
    if (!elsewhere.includes(leaving)) void dropPhoto(leaving);
    setLeaving(null);
  };
  return (
    <div class="field">
      {digests.length > 0 && (
        <ul class="photos">
          {digests.map((digest, index) => (
            <li key={digest}>
              <KeptPhoto digest={digest} alt={words.photoAlt(index + 1)} />
              <button type="button" onClick={() => setLeaving(digest)}>
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
      <ConfirmDialog
        open={leaving !== null}
        title={words.photoRemoveAsk}
        act={words.photoRemove}
        back={words.photoKeep}
        onAct={remove}
        onBack={() => setLeaving(null)}
      />
    </div>
  );
}

export default PhotoField;
