// @vitest-environment happy-dom
import { type SheetInHand, useDraft } from "@/screens/test/use-draft";
import { mount, unmount } from "../parts/mount";
import { soon } from "../soon";

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
