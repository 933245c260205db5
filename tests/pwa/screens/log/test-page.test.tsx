// @vitest-environment happy-dom
import { TestPage } from "@/screens/log/test-page";
import { markTried, nextBatch, settle } from "@/store/outbox";
import { addSource } from "@/store/sources";
import { saveTest } from "@/store/tests";
import { entry, keeping, NOW, refused, stored } from "../../helpers/examples";
import { mount, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

/** A saved test that the server refused for this reason, on its page. */
async function refusedFor(code: string): Promise<void> {
  const row = await saveTest(keeping(await addSource(entry(), true, NOW)), NOW);
  const batch = await nextBatch();
  const problem = { code, field: "id", value: row.id, limit: "", sentence: "" };
  await markTried(batch, NOW);
  await settle(
    batch,
    batch.map((one) => (one.kind === "test" ? { ...refused(one), problems: [problem] } : stored(one))),
    NOW,
  );
  mount(<TestPage id={row.id} />);
  await soon(() => expect(document.body.textContent).toContain("The server says"));
}

test("a test stored under another identity explains this and links to the recovery file", async () => {
  await refusedFor("not_yours");
  expect(document.body.textContent).toContain("under another identity");
  const acts = [...document.querySelectorAll("button, a.button")].map((one) => one.textContent);
  expect(document.querySelector('a[href="#/settings/files"]')).not.toBeNull();
  expect(acts).not.toContain("Try again");
});

test.each([
  ["conflict", true],
  ["not_yours", false],
])("what ends a conflict follows the server's answer: %s, %s", async (code, isFirst) => {
  await refusedFor(code);
  const [note] = document.querySelectorAll("textarea");
  const tested = [...document.querySelectorAll("dt")].find((one) => one.textContent === "Tested");
  const isAbove = note && tested && note.compareDocumentPosition(tested) & Node.DOCUMENT_POSITION_FOLLOWING;
  expect(Boolean(isAbove)).toBe(isFirst);
  expect(document.querySelectorAll("textarea").length).toBe(1);
});

test("the assumed water in the fuel carries its uncertainty", async () => {
  const row = await saveTest(keeping(await addSource(entry(), true, NOW)), NOW);
  mount(<TestPage id={row.id} />);
  const water = () => [...document.querySelectorAll("dt")].find((one) => one.textContent === "Water in the fuel");
  await soon(() => expect(water()?.nextElementSibling?.textContent).toMatch(/^\d\.\d\s±\s0\.5\s%$/));
});
