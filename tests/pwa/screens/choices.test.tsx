// @vitest-environment happy-dom
// Choices that are not on disk yet still apply, alone and together.

import { RegionsPage } from "@/screens/log/regions-page";
import { SettingsPage } from "@/screens/log/settings";
import { SourcesList } from "@/screens/sources/list";
import { settings } from "@/state/signals";
import { announce } from "@/store/changes";
import { loadSettings, readFact, saveSettings } from "@/store/settings";
import { addSource } from "@/store/sources";
import { entry, NOW } from "../helpers/examples";
import { mount, nameOf, unmount } from "../helpers/mount";
import { livePage } from "../helpers/page";
import { soon } from "../helpers/soon";

afterEach(unmount);

test("what the list of sources shows", async () => {
  for (let number = 0; number < 6; number += 1) await addSource(entry({ name: `Pas ${number}` }), false, NOW);
  const page = await livePage();
  const { root } = mount(<SourcesList />, page);
  const named = (start: string) =>
    [...root.querySelectorAll("label")].find((one) => nameOf(one).startsWith(start))?.querySelector("input");
  await soon(() => expect(named("level changed")).toBeDefined());
  named("level changed")?.click();
  named("not tested yet")?.click();
  await soon(async () => expect((await readFact("list"))?.filters).toMatchObject({ changed: true, untested: true }));
});

test("the regions that are fetched", async () => {
  await saveSettings({ regions: ["FR-15", "FR-43", "FR-63"] });
  const page = await livePage();
  expect(settings.value.regions).toHaveLength(3);
  const { root } = mount(<RegionsPage />, page);
  const remove = [...root.querySelectorAll("button")].filter((one) => nameOf(one).startsWith("Remove"));
  remove[0]?.click();
  remove[2]?.click();
  await soon(async () => expect((await loadSettings()).regions).toEqual(["FR-43"]));
});

test("choices show at once, even while stored data is still being read", async () => {
  const page = await livePage();
  const { root } = mount(<SettingsPage />, page);
  const radio = root.querySelector<HTMLInputElement>("input[value=sunlight]");
  announce("settings");
  radio?.click();
  const seen = new Set<boolean | undefined>();
  for (let step = 0; step < 50; step += 1) {
    await new Promise((resolve) => setTimeout(resolve));
    seen.add(radio?.checked);
  }
  expect((await loadSettings()).look).toBe("sunlight");
  expect([...seen]).toEqual([true]);
});
