// @vitest-environment happy-dom
/** The camera and the browser's code reader are replaced, because they are not ours. */

import { CodeScanner, canScan } from "@/widgets/code-scanner";
import { act, mount, unmount } from "../helpers/mount";
import { soon } from "../helpers/soon";

afterEach(() => {
  unmount();
  vi.unstubAllGlobals();
});

class Reader {
  static formats = ["qr_code"];
  static texts: string[] = [];
  static async getSupportedFormats() {
    return Reader.formats;
  }
  async detect() {
    return Reader.texts.splice(0).map((rawValue) => ({ rawValue }));
  }
}

function withCamera(getUserMedia: () => Promise<unknown>) {
  Reader.formats = ["qr_code"];
  Reader.texts = [];
  vi.stubGlobal("BarcodeDetector", Reader);
  vi.stubGlobal("navigator", { mediaDevices: { getUserMedia } });
  HTMLMediaElement.prototype.play = async () => undefined;
}

test("scanning needs QR support and a camera", async () => {
  expect(await canScan({})).toBe(false);
  withCamera(async () => null);
  expect(await canScan({ BarcodeDetector: Reader })).toBe(true);
  Reader.formats = ["ean_13"];
  expect(await canScan({ BarcodeDetector: Reader })).toBe(false);
});

test("scanning continues until the right code appears and then releases the camera", async () => {
  const stop = vi.fn();
  const stream = Object.assign(new MediaStream(), { getTracks: () => [{ stop }] });
  withCamera(async () => stream);
  const seen: string[] = [];
  const { root, button } = mount(
    <CodeScanner
      onText={(text) => {
        seen.push(text);
        return text === "right";
      }}
    />,
  );
  await soon(() => expect(root.querySelector("button")).not.toBeNull());
  await act(() => button("Scan the code").click());
  Reader.texts = ["wrong"];
  await soon(() => expect(seen).toEqual(["wrong"]));
  expect(stop).not.toHaveBeenCalled();
  Reader.texts = ["right"];
  await soon(() => expect(stop).toHaveBeenCalled());
  await soon(() => expect(root.querySelector("video")).toBeNull());
  expect(seen).toEqual(["wrong", "right"]);
});

test("a denied camera gives one sentence", async () => {
  withCamera(() => Promise.reject(new DOMException("no", "NotAllowedError")));
  const { root, button, text } = mount(<CodeScanner onText={() => true} />);
  await soon(() => expect(root.querySelector("button")).not.toBeNull());
  await act(() => button("Scan the code").click());
  await soon(() => expect(text()).toContain("The camera cannot be used. Allow it in the browser's settings"));
});

test("without support there is no button", async () => {
  const { root } = mount(<CodeScanner onText={() => true} />);
  await new Promise((resolve) => setTimeout(resolve, 20));
  expect(root.textContent).toBe("");
});
