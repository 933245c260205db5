// @vitest-environment happy-dom

import { Trend } from "@/screens/log/trend";
import { addSource } from "@/store/sources";
import { retractTest, saveTest } from "@/store/tests";
import { entry, keeping, NOW } from "../../helpers/examples";
import { act, mount, plain, unmount } from "../../helpers/mount";
import { soon } from "../../helpers/soon";

afterEach(unmount);

const day = (number: number) => `2026-03-0${number}T09:00:00Z`;

function opened(search: string): HTMLElement {
  const { root } = mount(<Trend search={search} />);
  const fold = root.querySelector("details") as HTMLDetailsElement;
  void act(() => {
    fold.open = true;
    fold.dispatchEvent(new Event("toggle"));
  });
  return root;
}

test("the trend shows own counted tests from pumps that match the search", async () => {
  const [one, other] = [await addSource(entry(), false, NOW), await addSource(entry({ name: "Lac" }), false, NOW)];
  await saveTest(keeping(one, { content: 81, sampled_at: day(3) }), NOW);
  await saveTest(keeping(one, { content: 77, sampled_at: day(1) }), NOW);
  await saveTest(keeping(other, { content: 70, sampled_at: day(2) }), NOW);
  await saveTest(keeping(one, { content: 20, sampled: "can" }), NOW);
  const wrong = await saveTest(keeping(one, { content: 30 }), NOW);
  await retractTest(wrong.id);
  const all = opened("");
  await soon(() => expect(all.querySelectorAll(".chart-point")).toHaveLength(3));
  expect(plain(all.querySelector(".chart-box")?.getAttribute("aria-label") ?? "")).toContain(
    "3 tests over time, from 70 to 81 %",
  );
  unmount();
  const some = opened("frene");
  await soon(() => expect(some.querySelectorAll(".chart-point")).toHaveLength(2));
  unmount();
  const none = opened("nowhere");
  await soon(() => expect(none.textContent).toContain("None of these is a sample from a pump."));
});

test("a closed trend reads and draws nothing", async () => {
  const { root } = mount(<Trend search="" />);
  expect(root.textContent).toBe("Your results over time");
});
