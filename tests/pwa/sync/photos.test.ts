import { run } from "@/store/open";
import { nextBatch, settle } from "@/store/outbox";
import { savePhoto, unsentPhotos } from "@/store/photos";
import { addSource } from "@/store/sources";
import { retractTest, saveTest } from "@/store/tests";
import { Client } from "@/sync/client";
import { sendPhotos } from "@/sync/photos";
import { entry, keeping, NOW, refused, stored } from "../helpers/examples";
import { type Answering, json, LittleServer } from "./little-server";

let server: LittleServer;
async function serving(answering: Answering): Promise<Client> {
  server = await LittleServer.start(answering);
  return new Client(server.origin);
}
afterEach(() => server?.stop());

async function withPhoto(shared = true) {
  const source = await addSource(entry(), shared, NOW);
  const bytes = new TextEncoder().encode(source);
  const digest = await savePhoto({ bytes: bytes.buffer, type: "image/jpeg", width: 2, height: 2 }, NOW);
  const test = await saveTest(keeping(source, { photos: [digest] }, shared), NOW);
  return { digest, test, bytes };
}

async function answered(answer = stored) {
  const batch = await nextBatch();
  await settle(
    batch,
    batch.map((one) => (one.kind === "test" ? answer(one) : stored(one))),
    NOW,
  );
}

async function stateOf(digest: string) {
  return (await run((base) => base.get("photos", digest)))?.state;
}

test("photos wait for their test and are then sent byte for byte under their digest", async () => {
  const { digest, bytes } = await withPhoto();
  expect(await unsentPhotos()).toEqual([]);
  await answered();
  const client = await serving((_, response) => json(response, { sha256: digest, bytes: 4 }, 201));
  expect(await sendPhotos(client)).toBe(1);
  expect(server.seen[0]).toMatchObject({ method: "PUT", path: `/api/v1/photos/${digest}` });
  expect(server.seen[0]?.headers["content-type"]).toBe("image/jpeg");
  expect(new Uint8Array(server.seen[0]?.body as Buffer)).toEqual(bytes);
  expect(await stateOf(digest)).toBe("sent");
  expect(await sendPhotos(client)).toBe(0);
});

test("photos of refused or private tests stay on the phone", async () => {
  const first = await withPhoto();
  await answered(refused);
  const second = await withPhoto(false);
  expect(await unsentPhotos()).toEqual([]);
  expect(await stateOf(first.digest)).toBe("private");
  expect(await stateOf(second.digest)).toBe("private");
});

test("a refused photo does not block the next, and a lost connection keeps both queued", async () => {
  const first = await withPhoto();
  const second = await withPhoto();
  await answered();
  let up = false;
  const client = await serving((seen, response) => {
    if (!up) response.destroy();
    else if (seen.path.endsWith(first.digest)) json(response, { code: "digest", detail: "Not a picture." }, 422);
    else json(response, { sha256: second.digest, bytes: 4 }, 201);
  });
  await expect(sendPhotos(client)).rejects.toMatchObject({ code: "no_answer" });
  expect(await unsentPhotos()).toHaveLength(2);
  up = true;
  expect(await sendPhotos(client)).toBe(1);
  expect(await stateOf(first.digest)).toBe("refused");
  expect(await stateOf(second.digest)).toBe("sent");
});

test("photos of a withdrawn test are not sent", async () => {
  const { digest, test: kept } = await withPhoto();
  await answered();
  await retractTest(kept.id);
  expect(await unsentPhotos()).toEqual([]);
  expect(await stateOf(digest)).toBe("private");
});
