import { isSettling, loadDraft, newDraft, saveDraft } from "@/store/drafts";
import { askToPersist, dropSentPhotos } from "@/store/keep";
import { markPhoto, readPhoto, savePhoto } from "@/store/photos";
import { DEFAULTS } from "@/store/settings";
import { NOW } from "../helpers/examples";

const picture = (byte: number) => ({ bytes: new Uint8Array([byte]).buffer, type: "image/jpeg", width: 1, height: 1 });

/** Makes the next `times` writes fail as on a full phone. */
function fullPhone(times: number): () => number {
  const put = IDBObjectStore.prototype.put;
  let refused = 0;
  IDBObjectStore.prototype.put = function (...args) {
    if (this.name === "drafts" && refused < times) {
      refused += 1;
      throw new DOMException("full", "QuotaExceededError");
    }
    return put.apply(this, args);
  };
  onTestFinished(() => {
    IDBObjectStore.prototype.put = put;
  });
  return () => refused;
}

describe("on a full phone", () => {
  test("pictures the server has are deleted to make room for new entries", async () => {
    const sent = await savePhoto(picture(1), NOW);
    const unsent = await savePhoto(picture(2), NOW);
    await markPhoto(sent, "sent");
    await markPhoto(unsent, "waiting");
    const refused = fullPhone(1);
    const draft = newDraft(DEFAULTS, NOW);
    await saveDraft(draft);
    expect(refused()).toBe(1);
    expect(await loadDraft()).toEqual(draft);
    expect(await readPhoto(sent)).toBeUndefined();
    expect(await readPhoto(unsent)).toBeDefined();
  });

  test("the fault is reported if nothing can be deleted", async () => {
    fullPhone(1);
    await expect(saveDraft(newDraft(DEFAULTS, NOW))).rejects.toMatchObject({ name: "QuotaExceededError" });
  });
});

test("the oldest pictures are deleted first, and only as many as needed", async () => {
  const old = await savePhoto(picture(1), new Date(NOW.getTime() - 1000));
  const young = await savePhoto(picture(2), NOW);
  await markPhoto(old, "sent");
  await markPhoto(young, "sent");
  expect(await dropSentPhotos(1)).toBe(1);
  expect(await readPhoto(old)).toBeUndefined();
  expect(await readPhoto(young)).toBeDefined();
});

test("persistence is not requested again once granted", async () => {
  let asked = 0;
  const storage = (granted: boolean) =>
    ({
      persisted: async () => granted,
      persist: async () => {
        asked += 1;
        return true;
      },
    }) as unknown as StorageManager;
  expect(await askToPersist(storage(true))).toBe(true);
  expect(asked).toBe(0);
  expect(await askToPersist(storage(false))).toBe(true);
  expect(asked).toBe(1);
  expect(await askToPersist(undefined)).toBeNull();
});

test("a tube settles by wall-clock time, whatever the phone does meanwhile", () => {
  const run = {
    water: 50,
    fuel: 50,
    shaken: true,
    settle_until: NOW.getTime() + 1,
    line: null,
    percent: null,
    top: null,
    line_half_width: null,
    marks: null,
    photo: null,
  };
  const draft = { ...newDraft(DEFAULTS, NOW), runs: [run] };
  expect(isSettling(draft, NOW)).toBe(true);
  expect(isSettling(draft, new Date(NOW.getTime() + 1))).toBe(false);
  expect(isSettling(undefined, NOW)).toBe(false);
});
