// @vitest-environment happy-dom
import { type OpenSheet, useDraft } from "@/screens/test/use-draft";
import type { Page } from "@/state/page";
import { mount, unmount } from "../../helpers/mount";
import { newPage } from "../../helpers/page";
import { soon } from "../../helpers/soon";

afterEach(unmount);

/** The sheet on a screen of its own, once the phone has told. */
async function opened(page: Page): Promise<OpenSheet> {
  let sheet: OpenSheet | undefined;
  function Screen() {
    sheet = useDraft();
    return null;
  }
  mount(<Screen />, page);
  return soon(() => {
    if (sheet?.draft === undefined) throw new Error("not read yet");
    return sheet;
  });
}

test("an entry made while an earlier one is being written is there on return", async () => {
  const page = newPage();
  const sheet = await opened(page);
  sheet.change({ note: "milky" });
  for (let step = 0; step < 5; step += 1) await Promise.resolve();
  sheet.change({ note: "milky at first" });
  unmount();
  const again = await opened(page);
  expect(again.draft?.note).toBe("milky at first");
});

test("a change begun on another screen reaches the current draft", async () => {
  const page = newPage();
  const left = await opened(page);
  left.change({ note: "milky" });
  unmount();
  const now = await opened(page);
  now.change({ temperature: 8 });
  left.change(({ photos }) => ({ photos: [...photos, "one"] }));
  now.change({ fuel_water: 1 });
  unmount();
  left.change(({ photos }) => ({ photos: [...photos, "two"] }));
  const sheet = { note: "milky", temperature: 8, fuel_water: 1, photos: ["one", "two"] };
  expect((await opened(page)).draft).toMatchObject(sheet);
});

test("a change begun for a discarded draft does not reach the next one", async () => {
  const page = newPage();
  const left = await opened(page);
  left.change({ note: "milky" });
  unmount();
  const now = await opened(page);
  now.begin({ note: "clear" });
  await now.saved();
  left.change({ temperature: 8 });
  unmount();
  expect((await opened(page)).draft).toMatchObject({ note: "clear", temperature: null });
});
