// @vitest-environment happy-dom
import { type SheetInHand, useDraft } from "@/screens/test/use-draft";
import { mount, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

/** Mounts a new screen with the draft, once it has loaded. */
async function opened(): Promise<SheetInHand> {
  let sheet: SheetInHand | undefined;
  function Screen() {
    sheet = useDraft();
    return null;
  }
  mount(<Screen />);
  return soon(() => {
    if (sheet?.draft === undefined) throw new Error("not read yet");
    return sheet;
  });
}

test("an entry made while an earlier one is being written is there on return", async () => {
  const sheet = await opened();
  sheet.change({ note: "milky" });
  for (let step = 0; step < 5; step += 1) await Promise.resolve();
  sheet.change({ note: "milky at first" });
  unmount();
  const again = await opened();
  expect(again.draft?.note).toBe("milky at first");
});

test("a change begun on another screen reaches the current draft", async () => {
  const left = await opened();
  left.change({ note: "milky" });
  unmount();
  const now = await opened();
  now.change({ temperature: 8 });
  left.change(({ photos }) => ({ photos: [...photos, "one"] }));
  now.change({ fuel_water: 1 });
  unmount();
  left.change(({ photos }) => ({ photos: [...photos, "two"] }));
  const sheet = { note: "milky", temperature: 8, fuel_water: 1, photos: ["one", "two"] };
  expect((await opened()).draft).toMatchObject(sheet);
});

test("a change begun for a discarded draft does not reach the next one", async () => {
  const left = await opened();
  left.change({ note: "milky" });
  unmount();
  const now = await opened();
  now.begin({ note: "clear" });
  await now.saved();
  left.change({ temperature: 8 });
  unmount();
  expect((await opened()).draft).toMatchObject({ note: "clear", temperature: null });
});
