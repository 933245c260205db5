import { problemSentence } from "@/screens/test/problem-sentence";

describe("a problem in words", () => {
  it("names what was given and what would do, without the signs of a program", () => {
    const told = problemSentence({ code: "line_below_water", field: "runs[0].line", value: "49", limit: ">= 50" });
    expect(told).toContain("49 mL");
    expect(told).toContain("at least 50 mL");
    const range = problemSentence({ code: "percent_range", field: "runs[0].percent", value: "104", limit: "0..100" });
    expect(range).toContain("0 to 100");
    for (const sentence of [told, range]) expect(sentence).not.toMatch(/[{}<>]|\.\./);
  });

  it("says something for a code it does not know", () => {
    expect(problemSentence({ code: "nothing_known", field: "", value: "", limit: "" })).toMatch(/^No content fits/);
  });
});
