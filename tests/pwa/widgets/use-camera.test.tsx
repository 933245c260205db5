// @vitest-environment happy-dom
/** The camera is replaced, because it is not ours; when it is requested and released is ours. */

import { useCamera } from "@/widgets/use-camera";
import { act, mount, unmount } from "../helpers/mount";
import { soon } from "../helpers/soon";

let told: string[] = [];

beforeEach(() => {
  told = [];
});

afterEach(() => {
  unmount();
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

function Live() {
  const { video, size, torch } = useCamera(
    () => told.push("refused"),
    () => told.push("gone"),
  );
  return (
    <div>
      <video ref={video} muted />
      {size && <p>live</p>}
      {torch && (
        <button type="button" onClick={torch.turn}>
          {torch.lit ? "lit" : "dark"}
        </button>
      )}
    </div>
  );
}

function withCamera(capabilities: object) {
  const track = { stop: vi.fn(), getCapabilities: () => capabilities, applyConstraints: vi.fn(async () => undefined) };
  const stream = Object.assign(new MediaStream(), { getTracks: () => [track], getVideoTracks: () => [track] });
  const getUserMedia = vi.fn(async () => stream);
  vi.stubGlobal("navigator", { mediaDevices: { getUserMedia } });
  HTMLMediaElement.prototype.play = async () => undefined;
  return { track, getUserMedia };
}

test("requests the rear camera and releases it on unmount", async () => {
  const { track, getUserMedia } = withCamera({});
  const { text } = mount(<Live />);
  await soon(() => expect(text()).toContain("live"));
  expect(getUserMedia).toHaveBeenCalledWith({ video: expect.objectContaining({ facingMode: "environment" }) });
  expect(track.applyConstraints).not.toHaveBeenCalled();
  expect(track.stop).not.toHaveBeenCalled();
  unmount();
  expect(track.stop).toHaveBeenCalled();
  expect(told).toEqual([]);
});

test("releases the camera when the page is hidden, and says so", async () => {
  const { track } = withCamera({});
  const { text } = mount(<Live />);
  await soon(() => expect(text()).toContain("live"));
  vi.spyOn(document, "visibilityState", "get").mockReturnValue("hidden");
  await act(() => void document.dispatchEvent(new Event("visibilitychange")));
  expect(track.stop).toHaveBeenCalled();
  expect(told).toEqual(["gone"]);
});

test("focuses and lights if the camera can", async () => {
  const { track } = withCamera({ torch: true, focusMode: ["manual", "continuous"] });
  const { button } = mount(<Live />);
  await soon(() => expect(button("dark")).toBeTruthy());
  expect(track.applyConstraints).toHaveBeenCalledWith({ advanced: [{ focusMode: "continuous" }] });
  await act(() => button("dark").click());
  await soon(() => expect(button("lit")).toBeTruthy());
  expect(track.applyConstraints).toHaveBeenLastCalledWith({ advanced: [{ torch: true }] });
});

test("a denied camera is reported, and one that was left meanwhile is not", async () => {
  vi.stubGlobal("navigator", {
    mediaDevices: { getUserMedia: () => Promise.reject(new DOMException("", "NotAllowedError")) },
  });
  mount(<Live />);
  await soon(() => expect(told).toEqual(["refused"]));
  mount(<Live />);
  unmount();
  await new Promise((resolve) => setTimeout(resolve, 20));
  expect(told).toEqual(["refused"]);
});
