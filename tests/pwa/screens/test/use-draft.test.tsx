// @vitest-environment happy-dom
import { type SheetInHand, useDraft } from "@/screens/test/use-draft";
import { mount, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

/** The sheet on a screen of its own, once the phone has told. */
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

test("who comes back to the sheet finds what was entered while an entry before it was still being written", async () => {
  const sheet = await opened();
  sheet.change({ note: "milky" });
  for (let step = 0; step < 5; step += 1) await Promise.resolve();
  sheet.change({ note: "milky at first" });
  unmount();
  const again = await opened();
  expect(again.draft?.note).toBe("milky at first");
});

test("what was begun on a screen that was left comes to the sheet where it is by then", async () => {
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

test("what was begun for a sheet that was thrown away does not come to the next one", async () => {
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
