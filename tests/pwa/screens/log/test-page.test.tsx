// @vitest-environment happy-dom
import { TestPage } from "@/screens/log/test-page";
import { markTried, nextBatch, settle } from "@/store/outbox";
import { addSource } from "@/store/sources";
import { saveTest } from "@/store/tests";
import { entry, keeping, NOW, refused, stored } from "../../helpers/examples";
import { mount, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

test("a test stored under another identity explains this and links to the recovery file", async () => {
  const row = await saveTest(keeping(await addSource(entry(), true, NOW)), NOW);
  const batch = await nextBatch();
  const problem = { code: "not_yours", field: "id", value: row.id, limit: "", sentence: "" };
  await markTried(batch, NOW);
  await settle(
    batch,
    batch.map((one) => (one.kind === "test" ? { ...refused(one), problems: [problem] } : stored(one))),
    NOW,
  );
  mount(<TestPage id={row.id} />);
  await soon(() => expect(document.body.textContent).toContain("under another identity"));
  const acts = [...document.querySelectorAll("button, a.button")].map((one) => one.textContent);
  expect(document.querySelector('a[href="#/settings/files"]')).not.toBeNull();
  expect(acts).not.toContain("Try again");
});
