// @vitest-environment happy-dom
import { render } from "preact";
import { lazy } from "@/widgets/lazy";
import { act, type Mounted, mount, unmount } from "../helpers/mount";
import { soon } from "../helpers/soon";

afterEach(() => {
  unmount();
  vi.useRealTimers();
});

const Shown = () => <h1>Here it is</h1>;

/** A loader whose requests the test completes itself. */
function loading() {
  const asked: { arrive: () => void; fail: (fault: unknown) => void }[] = [];
  const load = vi.fn(
    () =>
      new Promise<{ default: typeof Shown }>((resolve, fail) => {
        asked.push({ arrive: () => resolve({ default: Shown }), fail });
      }),
  );
  return { load, asked, arrive: (at = 0) => asked[at]?.arrive() };
}

async function settled(): Promise<void> {
  await act(async () => {
    for (let turn = 0; turn < 10; turn += 1) await null;
  });
}

test("a part is loaded once, however often it is shown", async () => {
  const { load, arrive } = loading();
  const Part = lazy<object>(load);
  const page = mount(<Part />);
  expect(page.text()).toBe("");
  arrive();
  await settled();
  expect(page.text()).toBe("Here it is");
  page.again(null);
  page.again(<Part />);
  expect(page.text()).toBe("Here it is");
  expect(load).toHaveBeenCalledTimes(1);
});

test("a part that arrives between render and effects is still shown", async () => {
  const { load, arrive } = loading();
  const Part = lazy<object>(load);
  const page = mount(<Part />);
  page.again(null);
  // Rendered, but effects have not run yet because the page is busy.
  render(<Part />, page.root);
  expect(page.text()).toBe("");
  arrive();
  await Promise.resolve();
  await soon(() => expect(page.text()).toBe("Here it is"));
});

test("a failed part says so and can be loaded again", async () => {
  const { load, asked, arrive } = loading();
  const Part = lazy<object>(load);
  const page = mount(<Part />);
  asked[0]?.fail(new TypeError("Failed to fetch dynamically imported module"));
  await settled();
  expect(page.text()).toContain("This part of the app did not load");
  await press(page);
  expect(page.text()).toBe("");
  arrive(1);
  await settled();
  expect(page.text()).toBe("Here it is");
});

test("a slow part says so after some seconds and is shown once it arrives", async () => {
  vi.useFakeTimers();
  const { load, asked, arrive } = loading();
  const Part = lazy<object>(load);
  const page = mount(<Part />);
  await act(() => void vi.advanceTimersByTime(3900));
  expect(page.text()).toBe("Opening…");
  await act(() => void vi.advanceTimersByTime(200));
  expect(page.text()).toContain("This part of the app did not load");
  await press(page);
  expect(asked).toHaveLength(2);
  arrive(0);
  await settled();
  expect(page.text()).toBe("Here it is");
});

async function press(page: Mounted): Promise<void> {
  await act(() => page.button("Try again").click());
}
