import { oddOf } from "@/model/odd";
import type { SourceFigures } from "@/rows/source-figures";

/** 9 of 10 next fills at 72 to 78 %, 99 of 100 at 70 to 80 %. */
function figures(change: Partial<SourceFigures> = {}): SourceFigures {
  return { next_fill: [72, 78], next_fill_quantiles: [70, 72, 75, 78, 80], evidence: 1, ...change } as SourceFigures;
}

const read = (content: number, expanded_uncertainty = 1.5, sampled: string | null = "pump") => ({
  content,
  expanded_uncertainty,
  sampled,
});

describe("a result is odd for its source", () => {
  it("if it differs from the next fill by more than its own uncertainty", () => {
    expect(oddOf(read(84), figures())).toMatchObject({ side: "above", by: 6, expected: [72, 78] });
    expect(oddOf(read(66), figures())).toMatchObject({ side: "below", by: 6 });
    expect(oddOf(read(75), figures())).toBeNull();
    // 82 - 4 is 78, still within the next fill's interval.
    expect(oddOf(read(82, 4), figures())).toBeNull();
    expect(oddOf(read(82.01, 4), figures())).not.toBeNull();
    expect(oddOf(read(68, 4), figures())).toBeNull();
    expect(oddOf(read(67.99, 4), figures())).not.toBeNull();
  });

  it("only if fewer than 1 fill in 200 is as far off", () => {
    expect(oddOf(read(80, 0.5), figures())).toBeNull();
    expect(oddOf(read(80.1, 0.5), figures())).not.toBeNull();
    expect(oddOf(read(70, 0.5), figures())).toBeNull();
    expect(oddOf(read(69.9, 0.5), figures())).not.toBeNull();
  });

  it("never for a can, a tank or a missing source", () => {
    for (const sampled of ["can", "tank", null]) expect(oddOf(read(95, 1, sampled), figures())).toBeNull();
  });

  it("never if little is known of the source, or only from strangers", () => {
    expect(oddOf(read(95), null)).toBeNull();
    expect(oddOf(read(95), figures({ evidence: 0 }))).toBeNull();
    expect(oddOf(read(95), figures({ heaviest: 0.01 }))).toBeNull();
  });
});
