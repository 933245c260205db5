// @vitest-environment happy-dom
// What is shown during a read: nothing at first, then a word that a screen reader announces once.
import { Waiting } from "@/widgets/waiting";
import { act, mount, unmount } from "../helpers/mount";

beforeEach(() => {
  vi.useFakeTimers();
});

afterEach(() => {
  unmount();
  vi.useRealTimers();
});

const pass = (time: number) =>
  act(() => {
    vi.advanceTimersByTime(time);
  });

it("shows nothing for a read that finishes at once", async () => {
  const page = mount(<Waiting word="Reading…" />);
  const region = page.root.querySelector("[role=status]");
  expect(region).not.toBeNull();
  await pass(300);
  expect(page.text()).toBe("");
});

it("then announces the wait once in the existing live region", async () => {
  const page = mount(<Waiting word="Reading…" />);
  const region = page.root.querySelector("[role=status]");
  await pass(500);
  expect(page.root.querySelector("[role=status]")).toBe(region);
  expect(page.text()).toBe("Reading…");
  const word = region?.querySelector("p");
  await pass(10_000);
  expect(region?.querySelector("p")).toBe(word);
  expect(page.root.querySelectorAll("p")).toHaveLength(1);
});
