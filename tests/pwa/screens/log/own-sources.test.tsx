// @vitest-environment happy-dom

import type { Answer, Problem } from "@/records";
import type { SourceRow } from "@/rows/source";
import type { OutboxEntry } from "@/rows/test";
import { OwnSources } from "@/screens/log/own-sources";
import { SourceRemarks } from "@/screens/sources/source-remarks";
import { nextBatch, settle } from "@/store/outbox";
import { addSource, editSource, readSource } from "@/store/sources";
import { entry, NOW, stored } from "../../helpers/examples";
import { mount, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

async function answered(change: Partial<Answer>): Promise<void> {
  const batch = await nextBatch();
  await settle(
    batch,
    batch.map((one: OutboxEntry) => ({ ...stored(one), ...change })),
    NOW,
  );
}

async function remarked(code: string, value = ""): Promise<SourceRow> {
  const id = await addSource(entry(), true, NOW);
  await answered({});
  await editSource(id, { name: "Halt am Moor" });
  const problem: Problem = { code, field: "", value, limit: "", sentence: "" };
  await answered({ status: "held", problems: [problem] } as Partial<Answer>);
  return (await readSource(id))?.source as SourceRow;
}

test("the log and the source's page say that a change waits", async () => {
  const source = await remarked("change_waits");
  const { root } = mount(
    <>
      <OwnSources />
      <SourceRemarks source={source} />
    </>,
  );
  const said = "Others have tested here, so your change waits until a moderator confirms it";
  await soon(() => expect(root.querySelector(".row-note")?.textContent).toContain(said));
  expect(root.querySelector(".row-name")?.textContent).toContain("Halt am Moor");
  expect(root.querySelector("a")?.getAttribute("href")).toBe(`#/source/${source.id}`);
  expect(root.querySelector("#remarks")?.parentElement?.textContent).toContain(said);
});

test("a refusal shows the moderator's reason", async () => {
  const source = await remarked("change_refused", "it is still there");
  const { root } = mount(<SourceRemarks source={source} />);
  expect(root.textContent).toContain("did not accept your change");
  expect(root.textContent).toContain("Their reason: “it is still there”.");
});

test("a source without remarks is not listed", async () => {
  const id = await addSource(entry(), true, NOW);
  await answered({});
  const source = (await readSource(id))?.source as SourceRow;
  const { root } = mount(
    <>
      <OwnSources />
      <SourceRemarks source={source} />
    </>,
  );
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect(root.textContent).toBe("");
});
