/** Shares a result as a picture and a text: through the phone's share sheet, as a file, or through the clipboard. */

import { useEffect, useRef, useState } from "preact/hooks";
import { result } from "../../../chemistry/budget";
import { fileName, saveBlob } from "../../../files/save";
import { labels } from "../../../i18n";
import type { SealedTest } from "../../../rows/test";
import { useStored } from "../../../state/hooks";
import { readSource } from "../../../store/sources";
import { Waiting } from "../../../widgets/waiting";
import { cardOf, textOf } from "./card";
import { drawCard } from "./draw";

export interface PassOnProps {
  test: SealedTest;
}

type Said = "sent" | "saved" | "copied" | "copyFault" | "sendFault" | "drawFault";
const FAULTS: readonly Said[] = ["copyFault", "sendFault", "drawFault"];

export default function Prepared({ test }: PassOnProps) {
  const words = labels.passOn;
  const place = useStored(() => readSource(test.source), ["sources"], [test.source]);
  const [picture, setPicture] = useState<File | null>(null);
  const [said, setSaid] = useState<Said | null>(null);
  const card = place && cardOf(test, place.source, result(test));
  const text = card ? textOf(card) : "";
  const address = useAddress(picture);
  const box = useRef<HTMLElement>(null);
  // The button that opened it is gone, so keyboard and voice users continue here.
  useEffect(() => box.current?.focus(), [card === undefined]);
  useEffect(() => {
    if (!card) return;
    drawCard(card).then(
      (blob) => setPicture(new File([blob], fileName("result", new Date(test.sampled_at), "png"), { type: blob.type })),
      () => setSaid("drawFault"),
    );
  }, [text]);
  if (!card) return <Waiting word={labels.common.opening} />;

  const send = (file: File) =>
    navigator.share({ files: [file], text }).then(
      () => setSaid("sent"),
      (fault) => (fault instanceof DOMException && fault.name === "AbortError" ? undefined : setSaid("sendFault")),
    );
  const copy = () =>
    Promise.resolve()
      .then(() => navigator.clipboard.writeText(text))
      .then(
        () => setSaid("copied"),
        () => setSaid("copyFault"),
      );
  return (
    <section ref={box} class="form leaf pass-on" aria-label={words.title} tabIndex={-1}>
      <div>
        <h2>{words.title}</h2>
        <p class="hint">{words.hint}</p>
      </div>
      {address && <img src={address} alt={text} />}
      {said === "drawFault" && <p class="pass-on-text">{text}</p>}
      {picture && navigator.canShare?.({ files: [picture], text }) && (
        <button type="button" class="main" onClick={() => void send(picture)}>
          {words.send}
        </button>
      )}
      <div class="buttons">
        {picture && (
          <button
            type="button"
            onClick={() => {
              saveBlob(picture.name, picture);
              setSaid("saved");
            }}
          >
            {words.save}
          </button>
        )}
        <button type="button" onClick={() => void copy()}>
          {words.copy}
        </button>
      </div>
      {said === "copyFault" && <p class="pass-on-text">{text}</p>}
      {said && (
        <p class={FAULTS.includes(said) ? "fault" : undefined} role={FAULTS.includes(said) ? "alert" : "status"}>
          {words[said]}
        </p>
      )}
    </section>
  );
}

/** A URL for an img, revoked when the picture goes. */
function useAddress(picture: Blob | null): string | null {
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    if (!picture) return;
    const made = URL.createObjectURL(picture);
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [picture]);
  return address;
}
