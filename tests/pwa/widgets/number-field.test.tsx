// @vitest-environment happy-dom
import { NumberField, type NumberFieldProps } from "@/widgets/number-field";
import { act, mount, unmount } from "../helpers/mount";

afterEach(unmount);

function field(props: Partial<NumberFieldProps> = {}) {
  const given: (number | null)[] = [];
  const part = (more: Partial<NumberFieldProps>) => (
    <NumberField
      label="Line reading"
      unit="mL"
      value={null}
      onValue={(value) => given.push(value)}
      step={0.5}
      min={50}
      max={100}
      {...props}
      {...more}
    />
  );
  const page = mount(part({}));
  const input = page.root.querySelector("input") as HTMLInputElement;
  return {
    page,
    input,
    given,
    show: (more: Partial<NumberFieldProps>) => page.again(part(more)),
    type: (text: string) =>
      act(() => {
        input.value = text;
        input.dispatchEvent(new Event("input", { bubbles: true }));
      }),
    leave: () => act(() => void input.dispatchEvent(new Event("blur"))),
    press: (name: string) => act(() => page.button(name).click()),
    fault: () => page.root.querySelector("[role=alert]")?.textContent ?? null,
  };
}

const more = "Line reading: more";
const less = "Line reading: less";

describe("the number field", () => {
  it("opens the numeric keypad and has its unit in its name", () => {
    const { input, page } = field();
    expect(input.getAttribute("inputmode")).toBe("decimal");
    expect(page.root.querySelector(`label[for="${input.id}"]`)?.textContent).toBe("Line reading, mL");
  });

  it("accepts a decimal comma and a decimal point", () => {
    const { type, given } = field();
    type("88,5");
    type("88.8");
    expect(given).toEqual([88.5, 88.8]);
  });

  it("gives no value while the number is invalid, and says so in one sentence on leaving", () => {
    const { type, leave, given, fault, input } = field();
    type("8");
    expect(given).toEqual([null]);
    expect(fault()).toBeNull();
    leave();
    expect(fault()).toBe("Too low. Enter at least 50 mL.");
    expect(input.getAttribute("aria-invalid")).toBe("true");
    expect(input.getAttribute("aria-describedby")).toBe(`${input.id}f`);
    type("88");
    leave();
    expect(fault()).toBeNull();
    expect(given.at(-1)).toBe(88);
  });

  it("explains a word and a number that is too high", () => {
    const { type, leave, fault, given } = field();
    type("half");
    leave();
    expect(fault()).toBe("This is not a number. Use digits and one decimal point.");
    type("100.5");
    leave();
    expect(fault()).toBe("Too high. Enter at most 100 mL.");
    expect(given).toEqual([null, null]);
  });

  it("is empty if the text is", () => {
    const { type, leave, given, fault } = field({ value: 88 });
    type("");
    leave();
    expect(given).toEqual([null]);
    expect(fault()).toBeNull();
  });

  it("steps to the next graduation and stops at the limits", () => {
    const { type, press, given } = field();
    type("88.3");
    press(more);
    press(more);
    press(less);
    type("99.9");
    press(more);
    press(more);
    type("50");
    press(less);
    expect(given).toEqual([88.3, 88.5, 89, 88.5, 99.9, 100, 100, 50, 50]);
  });

  it("leaves no binary dust behind", () => {
    const { press, given, input } = field({ step: 0.1, min: 0, max: 10, value: 0 });
    for (let press3 = 0; press3 < 3; press3 += 1) press(more);
    expect(given).toEqual([0.1, 0.2, 0.3]);
    expect(input.value).toBe("0.3");
  });

  it("offers a value without applying it until the first tap", () => {
    const { press, given, input } = field({ offered: 75 });
    expect(input.placeholder).toBe("75");
    expect(given).toEqual([]);
    press(less);
    press(less);
    expect(given).toEqual([75, 74.5]);
  });

  it("follows an outside value without overwriting typing", () => {
    const { type, show, input, given } = field();
    type("88.");
    show({ value: given.at(-1) ?? null });
    expect(input.value).toBe("88.");
    show({ value: 61 });
    expect(input.value).toBe("61");
  });

  it("steps with the arrow keys", () => {
    const { input, given } = field({ value: 88 });
    act(() => void input.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowUp", bubbles: true })));
    act(() => void input.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowDown", bubbles: true })));
    expect(given).toEqual([88.5, 88]);
  });

  it("has a sign button only if negative numbers are allowed", () => {
    const above = field();
    expect(() => above.page.button("Line reading: above or below zero")).toThrow();
    unmount();
    const { press, given } = field({ min: -20, max: 40, value: 5 });
    press("Line reading: above or below zero");
    expect(given).toEqual([-5]);
  });

  it("shows a fault found by the caller", () => {
    const { fault } = field({ value: 60, fault: "The total level must be above the water level." });
    expect(fault()).toBe("The total level must be above the water level.");
  });

  it("keeps what is typed while the previous number is being saved", () => {
    const { type, show, input, given } = field();
    type("7");
    type("70");
    type("70.5");
    expect(given).toEqual([null, 70, 70.5]);
    show({ value: 70 });
    expect(input.value).toBe("70.5");
    show({ value: 70.5 });
    expect(input.value).toBe("70.5");
    show({ value: 70 });
    expect(input.value).toBe("70");
  });
});
