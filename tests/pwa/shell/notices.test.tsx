// @vitest-environment happy-dom
import { labels } from "@/i18n";
import { Notices } from "@/shell/notices";
import { updateReady } from "@/state/signals";
import { mount, unmount } from "../helpers/mount";
import { newPage } from "../helpers/page";
import { soon } from "../helpers/soon";

afterEach(() => {
  unmount();
  updateReady.value = false;
  vi.unstubAllGlobals();
});

test("a new version takes over once all entries are on the disk", async () => {
  const postMessage = vi.fn();
  const serviceWorker = Object.assign(new EventTarget(), {
    getRegistration: async () => ({ waiting: { postMessage } }),
  });
  vi.stubGlobal("navigator", Object.assign(Object.create(navigator), { serviceWorker }));
  vi.stubGlobal("isSecureContext", true);
  updateReady.value = true;
  const state = newPage();
  const page = mount(<Notices />, state);
  let written = () => {};
  const writing = new Promise<void>((done) => {
    written = done;
  });
  void state.sheets.inTurn(() => writing);
  const button = await soon(() => page.button(labels.common.updateTake));
  button.click();
  for (let turn = 0; turn < 50; turn += 1) await new Promise((done) => setTimeout(done));
  expect(postMessage).not.toHaveBeenCalled();
  written();
  await soon(() => expect(postMessage).toHaveBeenCalledWith("take over"));
});
