// @vitest-environment happy-dom
// The Fuel screen: the sensor, the content before filling, and filling up with two fuels.

import type { VehicleRow } from "@/rows/vehicle";
import { newVehicle } from "@/rows/vehicle";
import { EngineView } from "@/screens/fuel/engine-view";
import { HeelView } from "@/screens/fuel/heel-view";
import { ReachView } from "@/screens/fuel/reach-view";
import { SensorCheck } from "@/screens/fuel/sensor-check";
import { TankForm } from "@/screens/fuel/tank-form";
import { TankGlyph } from "@/screens/fuel/tank-glyph";
import { act, type Mounted, mount, unmount } from "../../helpers/mount";

afterEach(unmount);

const tank: VehicleRow = {
  ...newVehicle("v"),
  capacity: 60,
  volume: 45,
  content: 74,
  expanded_uncertainty: 2,
  changed_at: "2026-03-12T10:00:00Z",
};

function enter(page: Mounted, label: string, text: string, nth = 0): void {
  const labels = [...page.root.querySelectorAll("label")].filter((one) => one.textContent?.startsWith(label));
  const input = page.root.querySelector<HTMLInputElement>(`[id="${labels[nth]?.getAttribute("for")}"]`);
  if (!input) throw new Error(`no field "${label}" in: ${page.text()}`);
  act(() => {
    input.value = text;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

function choose(page: Mounted, label: string): void {
  const option = [...page.root.querySelectorAll("label")].find((one) => one.textContent === label);
  act(() => option?.querySelector("input")?.click());
}

describe("the sensor", () => {
  it("agrees within both uncertainties or says that it does not", () => {
    const page = mount(<SensorCheck tank={tank} />);
    enter(page, "Sensor reading", "78");
    expect(page.text()).toContain("74.0 ± 2.0 %");
    // 5 points as the half-width of a rectangular distribution: 1.96 * 5 / sqrt(3), by hand.
    expect(page.text()).toContain("78.0 ± 5.7 %");
    expect(page.text()).toContain("They agree: the sensor is +4.0 points off");
    enter(page, "Sensor reading", "66");
    expect(page.text()).toContain("They disagree: the sensor reads 8.0 points low");
  });

  it("gives no content if the signal is out of range", () => {
    const page = mount(<SensorCheck tank={tank} />);
    choose(page, "hertz");
    enter(page, "Sensor reading", "190");
    expect(page.root.querySelector("[role=alert]")?.textContent).toContain("contaminated fuel or a faulty sensor");
    expect(page.text()).not.toContain("They ");
    enter(page, "Sensor reading", "40");
    expect(page.root.querySelector("[role=alert]")?.textContent).toContain("outside 50 to 150 Hz");
    enter(page, "Sensor reading", "124");
    expect(page.root.querySelector("[role=alert]")).toBeNull();
    expect(page.text()).toContain("They agree: the sensor is 0.0 points off");
  });

  // 1 ms is -40 °C and 5 ms 125 °C: 3 ms is the middle.
  it("gives the fuel's temperature from the pulse width", () => {
    const page = mount(<SensorCheck tank={tank} />);
    enter(page, "Pulse width", "3");
    expect(page.text()).toContain("43 °C");
  });
});

describe("without a tank", () => {
  it("the sensor is compared with a typed content, and only with its uncertainty", () => {
    const page = mount(<SensorCheck tank={undefined} />);
    enter(page, "Ethanol content", "74");
    expect(page.text()).toContain("Enter the uncertainty too");
    expect(page.text()).not.toContain("It should show");
    enter(page, "Uncertainty ±", "2");
    enter(page, "Sensor reading", "78");
    expect(page.text()).toContain("They agree: the sensor is +4.0 points off");
  });

  // Ethanol needs 9.0 kg of air per kg and gasoline about 14.7: E50 is between.
  it("the engine figures are those of a typed content", () => {
    const page = mount(<EngineView tank={undefined} />);
    enter(page, "Ethanol content", "50");
    expect(page.text()).not.toContain("kg/kg");
    enter(page, "Uncertainty ±", "2");
    const ratio = Number(/ratio(\d+\.\d+)/.exec(page.text())?.[1]);
    expect(ratio).toBeGreaterThan(9);
    expect(ratio).toBeLessThan(14.7);
  });
});

describe("what was in the tank before", () => {
  // 45 L at 74 % including 30 L of 82 %: (45 * 74 - 30 * 82) / 15 = 58, by hand.
  it("follows from the sensor and the added fuel", () => {
    const page = mount(<HeelView tank={tank} />);
    enter(page, "Sensor reading", "74");
    enter(page, "Amount added", "30");
    enter(page, "Ethanol content", "82");
    enter(page, "Uncertainty ±", "2");
    expect(page.text()).toContain("The 15.0 L from before must have been");
    expect(page.root.querySelector(".result .unseen")?.textContent).toMatch(/^Ethanol 58 %, plus or minus 17/);
  });

  it("is reported when impossible", () => {
    const page = mount(<HeelView tank={tank} />);
    enter(page, "Sensor reading", "30");
    enter(page, "Amount added", "30");
    enter(page, "Ethanol content", "82");
    enter(page, "Uncertainty ±", "2");
    expect(page.root.querySelector("[role=alert]")?.textContent).toContain("contradict each other");
    enter(page, "Amount added", "60");
    expect(page.text()).toContain("More went in than the tank holds now.");
    expect(page.text()).not.toContain("must have been");
  });
});

describe("filling up with two fuels", () => {
  const can = (name: string, content: number, volume: number) => ({
    id: name,
    name,
    capacity: 30,
    volume,
    content,
    expanded_uncertainty: 2,
    source: null,
    test: null,
    tested_at: null,
    filled_at: "2026-03-02T10:00:00Z",
    opened_humid_at: null,
    retest_days: 14,
    emptied_at: null,
  });

  it("splits the added fuel, and says when no split works", () => {
    const low = { ...tank, volume: 20, content: 10 };
    const page = mount(<ReachView tank={low} cans={[can("Strong", 85, 30), can("Weak", 10, 30)]} />);
    choose(page, "fill up with two fuels");
    enter(page, "Target ethanol", "50");
    // 60 L at 50 % need 32 L of it, by hand, and the can has 30.
    expect(page.text()).toContain("There is not enough of one of them");
    expect(page.text()).toContain("Add 30.0 L from Strong.");
    enter(page, "Total to add", "30");
    // 50 L at 50 % need 2500: 200 are there, 85 s + 10 (30 - s) = 2300 gives s = 26.7, by hand.
    expect(page.text()).toContain("Add 26.7 L from Strong.");
    expect(page.text()).toContain("Add 3.3 L from Weak.");
    enter(page, "Target ethanol", "80");
    expect(page.text()).toContain("No split of these two reaches the target");
    expect(page.text()).toContain("Add 30.0 L from Strong.");
  });

  it("starts from typed values if no tank is entered", () => {
    const page = mount(<ReachView tank={undefined} cans={[can("Strong", 85, 30)]} />);
    expect(page.text()).not.toContain("Target ethanol");
    enter(page, "In the tank now", "20");
    enter(page, "Ethanol content", "10");
    enter(page, "Uncertainty ±", "2");
    enter(page, "Target ethanol", "50");
    enter(page, "Room in the tank", "40");
    // 20 L at 10 % and x of 85 % make 50 %: x = 20 * 40 / 35 = 22.9, by hand.
    expect(page.text()).toContain("Add 22.9 L from Strong.");
  });

  it("asks for two fuels", () => {
    const page = mount(<ReachView tank={tank} cans={[can("Strong", 85, 30)]} />);
    choose(page, "fill up with two fuels");
    expect(page.text()).toContain("Choose exactly two fuels");
  });
});

test("an empty-sized or oversized tank is refused", () => {
  const page = mount(<TankForm tank={undefined} />);
  for (const [litres, isTaken] of [
    ["0", false],
    ["400", true],
    ["999", false],
  ] as const) {
    enter(page, "Tank capacity", litres);
    expect(page.text().includes("Enter more than zero and at most"), litres).toBe(!isTaken);
  }
});

describe("the drawing of the tank", () => {
  const drawn = (part: Partial<VehicleRow>) => {
    const svg = mount(<TankGlyph tank={{ ...tank, ...part }} />).root.querySelector("svg");
    unmount();
    return [
      svg?.getAttribute("aria-label")?.replaceAll("\u00a0", " "),
      svg?.getAttribute("data-share"),
      svg?.querySelector(".tank-unused"),
    ];
  };

  it("is filled to its litres and states them", () => {
    expect(drawn({})).toEqual(["Tank: 45.0 L of 60.0 L", "0.75", null]);
    expect(drawn({ volume: 0 })).toEqual(["Tank: 0.0 L of 60.0 L", "0", null]);
  });

  it("has no level while its size is unknown", () => {
    const [name, share, dashed] = drawn({ capacity: null });
    expect([name, share]).toEqual(["Tank: 45.0 L", null]);
    expect(dashed).not.toBeNull();
  });
});
