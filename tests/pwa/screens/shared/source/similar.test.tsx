// @vitest-environment happy-dom

import type { SourceRow } from "@/rows/source";
import { similarTo } from "@/screens/shared/source/similar";
import { SimilarSource } from "@/screens/shared/source/similar-source";
import { applyPage } from "@/store/cursor";
import { nextBatch, settle } from "@/store/outbox";
import { addSource, readSource } from "@/store/sources";
import { entry, NOW, pulledSource, stored } from "../../../helpers/examples";
import { mount, unmount } from "../../../helpers/mount";
import { soon } from "../../../helpers/soon";

afterEach(unmount);

const other = pulledSource(1, { name: "Pas des Genets", pump: "2" });

async function remarked(): Promise<SourceRow> {
  const id = await addSource(entry(), true, NOW);
  const batch = await nextBatch();
  const sentence = "A source close by may be the same place; if it is, test there and take this one back.";
  const problem = { code: "similar_source", field: "id", value: other.id, limit: "Pas des Genets", sentence };
  await settle(
    batch,
    batch.map((queued) => ({ ...stored(queued), problems: [problem] })),
    NOW,
  );
  return (await readSource(id))?.source as SourceRow;
}

test("the server's remark links to the other source", async () => {
  const source = await remarked();
  expect(similarTo(source)).toBe(other.id);
  await applyPage([other], { server: "", cursor: "a.1" }, true);
  const { root } = mount(<SimilarSource source={source} />);
  await soon(() => expect(root.querySelector("a")?.getAttribute("href")).toBe(`#/source/${other.id}`));
  expect(root.querySelector("a")?.textContent).toBe("Go to Pas des Genets\u00a0· 2");
});

test("nothing is shown for a source that is not on this phone or belongs to someone else", async () => {
  const source = await remarked();
  const { root } = mount(<SimilarSource source={source} />);
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect(root.textContent).toBe("");
  expect(similarTo({ ...source, own: false })).toBeNull();
  expect(similarTo({ ...source, sync: null })).toBeNull();
});
