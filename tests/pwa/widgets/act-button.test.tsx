// @vitest-environment happy-dom
// No button is silently disabled: a tap names what is missing and focuses that field.
import { ActButton } from "@/widgets/act-button";
import { act, mount, unmount } from "../helpers/mount";

afterEach(unmount);

test("a tap names what is missing and goes to the empty field, and acts once all is filled", async () => {
  const acted = vi.fn();
  const form = (missing: string | null, level: string) => (
    <div class="form">
      <input aria-label="name" value="x" />
      <input aria-label="level" value={level} />
      <ActButton missing={missing} onAct={acted}>
        Keep
      </ActButton>
    </div>
  );
  const page = mount(form("Enter the level first.", ""));
  const button = page.button("Keep");
  expect([button.disabled, button.getAttribute("aria-disabled")]).toEqual([false, "true"]);
  await act(() => button.click());
  expect(page.root.querySelector("[role=alert]")?.textContent).toBe("Enter the level first.");
  expect(document.activeElement?.getAttribute("aria-label")).toBe("level");
  expect(acted).not.toHaveBeenCalled();
  page.again(form(null, "50"));
  expect(page.root.querySelector("[role=alert]")).toBeNull();
  await act(() => button.click());
  expect(acted).toHaveBeenCalledOnce();
});

test("a form is not submitted while something is missing", async () => {
  const submitted = vi.fn((event: Event) => event.preventDefault());
  const form = (missing: string | null) => (
    <form onSubmit={submitted}>
      <textarea aria-label="code" />
      <ActButton missing={missing}>Take</ActButton>
    </form>
  );
  const page = mount(form("Type the code first."));
  await act(() => page.button("Take").click());
  expect(submitted).not.toHaveBeenCalled();
  page.again(form(null));
  await act(() => page.button("Take").click());
  expect(submitted).toHaveBeenCalledOnce();
});

/** In progress, and the button or the text beside it says so. */
const BUSY = /^(working|busy|looking|opening|answered|phase === "(keeping|looking)"|search === "looking")$/;

test("only actions in progress are disabled", () => {
  const files = import.meta.glob<string>("../../../pwa/src/**/*.tsx", {
    query: "?raw",
    import: "default",
    eager: true,
  });
  const found = Object.entries(files).flatMap(([name, text]) =>
    [...text.matchAll(/[\s<]disabled=\{([^}]*)\}/g)].map(([, when = ""]) => [name, when] as const),
  );
  expect(found.length).toBeGreaterThan(3);
  expect(found.filter(([, when]) => !BUSY.test(when))).toEqual([]);
});
