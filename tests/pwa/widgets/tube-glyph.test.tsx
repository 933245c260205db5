// @vitest-environment happy-dom
import fc from "fast-check";
import { Reading } from "@/widgets/reading";
import { TubeGlyph, type TubeGlyphProps } from "@/widgets/tube-glyph";
import { BORE, layers } from "@/widgets/tube-shape";
import { mount, unmount } from "../helpers/mount";

afterEach(unmount);

function glyph(props: TubeGlyphProps) {
  const svg = mount(<TubeGlyph {...props} />).root.querySelector("svg") as SVGElement;
  return { svg, name: svg.querySelector("title")?.textContent };
}

describe("the tube glyph", () => {
  it("announces its numbers", () => {
    const { svg, name } = glyph({ content: 83.49, uncertainty: 1.93 });
    expect(svg.getAttribute("role")).toBe("img");
    expect(name).toBe("Ethanol 83.5 %, plus or minus 1.9 points");
  });

  it("announces a range, a next fill, a missing uncertainty and a missing test", () => {
    const nameOf = (props: TubeGlyphProps) => {
      const { name } = glyph(props);
      unmount();
      return name;
    };
    expect(nameOf({ content: 82, uncertainty: 3, span: [78.7, 85.1] })).toBe("Ethanol between 78.7 and 85.1 %");
    expect(nameOf({ content: 79.2, uncertainty: null, next: [72.4, 84.1] })).toBe(
      "Ethanol about 79 %, next fill between 72 and 84 %, 9 times in 10",
    );
    expect(nameOf({ content: 79.2, uncertainty: null })).toBe("Ethanol 79.2 %, uncertainty not known");
    expect(nameOf({ content: null, uncertainty: null })).toBe("Not tested yet");
  });

  it("is hidden from screen readers if the number is beside it", () => {
    expect(glyph({ content: 80, uncertainty: 2, silent: true }).svg.getAttribute("aria-hidden")).toBe("true");
    unmount();
    const { text } = mount(<Reading content={80} uncertainty={2} />);
    expect(text()).toContain("Ethanol 80.0 %, plus or minus 2.0 points");
  });

  it("gives two tubes on one page separate gradients", () => {
    const { root } = mount(
      <div>
        <TubeGlyph content={80} uncertainty={2} />
        <TubeGlyph content={40} uncertainty={2} />
      </div>,
    );
    const ids = [...root.querySelectorAll("linearGradient, clipPath")].map((one) => one.id);
    expect(ids).toHaveLength(4);
    expect(new Set(ids).size).toBe(4);
  });

  it("fills the bore in proportion to the content, and spreads the band over the uncertainty", () => {
    const drawn = layers(50, 10, null);
    expect(drawn?.line).toBeCloseTo(BORE.bottom - BORE.height / 2, 9);
    expect(drawn?.solid).toBeCloseTo(BORE.bottom - BORE.height * 0.4, 9);
    expect(drawn?.top).toBeCloseTo(BORE.bottom - BORE.height * 0.6, 9);
    expect(layers(null, null, null)).toBeNull();
  });

  it("stays inside the glass and rises with the content", () => {
    const percent = fc.double({ min: -20, max: 120, noNaN: true });
    fc.assert(
      fc.property(percent, percent, fc.double({ min: 0, max: 30, noNaN: true }), (one, other, spread) => {
        const lower = layers(Math.min(one, other), spread, null);
        const higher = layers(Math.max(one, other), spread, null);
        if (!lower || !higher) throw new Error("nothing drawn");
        expect(higher.line as number).toBeLessThanOrEqual(lower.line as number);
        for (const y of [higher.top, higher.solid, lower.top, lower.solid]) {
          expect(y).toBeGreaterThanOrEqual(BORE.bottom - BORE.height);
          expect(y).toBeLessThanOrEqual(BORE.bottom);
        }
      }),
    );
  });
});
