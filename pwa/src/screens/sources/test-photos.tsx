/** The photos of a test in a source's list: from this phone if they are saved here, else from the server on request. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { count } from "../../i18n/format";
import { fetchPhoto } from "../../sync/photos";
import { usePhoto } from "../../widgets/saved-photo";

/** Pixels: as wide as a phone with a high-resolution screen shows it. */
const WIDTH = 640;

export function TestPhotos({ digests }: { digests: readonly string[] }) {
  const words = labels.sources.page;
  const [open, setOpen] = useState(false);
  if (digests.length === 0) return null;
  return (
    <details class="test-photos" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{count(digests.length, words.photo, words.photos)}</summary>
      {open && (
        <ul class="photos">
          {digests.map((digest, at) => (
            <li key={digest}>
              <Photo digest={digest} alt={words.photoName(at + 1)} />
            </li>
          ))}
        </ul>
      )}
    </details>
  );
}

function Photo({ digest, alt }: { digest: string; alt: string }) {
  const kept = usePhoto(digest);
  if (kept === null) return <span class="photo-wait" />;
  if (kept === "missing") return <Fetched digest={digest} alt={alt} />;
  return <img src={kept.address} alt={alt} />;
}

/** A smaller copy that is shown but not saved. */
function Fetched({ digest, alt }: { digest: string; alt: string }) {
  const [address, setAddress] = useState<string | "none" | null>(null);
  useEffect(() => {
    let made: string | null = null;
    let over = false;
    void fetchPhoto(digest, WIDTH).then((blob) => {
      if (over) return;
      made = blob && URL.createObjectURL(blob);
      setAddress(made ?? "none");
    });
    return () => {
      over = true;
      if (made) URL.revokeObjectURL(made);
    };
  }, [digest]);
  if (address === null) return <span class="photo-wait" />;
  if (address === "none") return <p class="hint">{labels.sources.page.photoNone}</p>;
  return <img src={address} alt={alt} />;
}
