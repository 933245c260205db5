import { changeFact, loadSettings, readFact, saveSettings } from "@/store/settings";

test("two simultaneous changes are both kept", async () => {
  const with_ = (code: string) => saveSettings(({ regions }) => ({ regions: [...regions, code] }));
  await Promise.all([with_("FR-63"), saveSettings({ look: "dark" }), with_("FR-15")]);
  expect(await loadSettings()).toMatchObject({ regions: ["FR-63", "FR-15"], look: "dark" });
  const more = () => changeFact("taken_back", (old = {}) => ({ ...old, [Object.keys(old).length]: 1 }));
  await Promise.all([more(), more()]);
  expect(await readFact("taken_back")).toEqual({ 0: 1, 1: 1 });
});
