import { speak } from "@/i18n";
import { problemSentence } from "@/screens/shared/problem-sentence";

describe("a problem in words", () => {
  it("names the value and what is allowed, without program syntax", () => {
    const told = problemSentence({ code: "line_below_water", field: "runs[0].line", value: "49", limit: ">= 50" });
    expect(told).toContain("49 mL");
    expect(told).toContain("at least 50 mL");
    const range = problemSentence({ code: "percent_range", field: "runs[0].percent", value: "104", limit: "0..100" });
    expect(range).toContain("0 to 100");
    for (const sentence of [told, range]) expect(sentence).not.toMatch(/[{}<>]|\.\./);
  });

  it("has a sentence for an unknown code", () => {
    expect(problemSentence({ code: "nothing_known", field: "", value: "", limit: "" })).toMatch(/^No content fits/);
  });

  it("is in French if the app is, numbers too", async () => {
    await speak("fr");
    const told = problemSentence({ code: "line_below_water", field: "runs[0].line", value: "49.5", limit: ">= 50.25" });
    expect(told).toMatch(/^La limite à 49,5 mL est sous l’eau versée.* au moins 50,25 mL/);
    const time = problemSentence({
      code: "time_unreadable",
      field: "tested_at",
      value: "2026-01-31T12:00:00.5Z",
      limit: "",
    });
    expect(time).toContain("2026-01-31T12:00:00.5Z");
  });

  it("uses the server's sentence if this version lacks one or its figures", () => {
    const sent = { field: "", value: "", limit: "", sentence: "The server's own words." };
    expect(problemSentence({ ...sent, code: "newer_than_this_app" })).toBe(sent.sentence);
    expect(problemSentence({ ...sent, code: "body_too_large" })).toBe(sent.sentence);
    expect(problemSentence({ ...sent, code: "retracted" })).toMatch(/^This record was withdrawn/);
  });
});
