/** Which photos of a test are shared with it; the others stay on this phone. */

import { labels } from "../i18n";
import { SwitchField } from "./fields";
import { SavedPhoto } from "./saved-photo";

export interface PhotoChoicesProps {
  digests: readonly string[];
  /** The photos that stay. */
  unshared: readonly string[];
  onUnshared: (unshared: string[]) => void;
}

export function PhotoChoices({ digests, unshared, onUnshared }: PhotoChoicesProps) {
  const words = labels.parts;
  if (digests.length === 0) return null;
  return (
    <ul class="photos">
      {digests.map((digest, index) => (
        <li key={digest}>
          <SavedPhoto digest={digest} alt={words.photoAlt(index + 1)} />
          <SwitchField
            label={words.photoShare(index + 1)}
            checked={!unshared.includes(digest)}
            onChecked={(goes) => onUnshared([...unshared.filter((one) => one !== digest), ...(goes ? [] : [digest])])}
          />
        </li>
      ))}
    </ul>
  );
}
