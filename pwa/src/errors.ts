// What can go wrong: expected faults as values, bugs as exceptions.

/** One thing that is wrong with an input: stable code, field path, the value given and the values accepted. */
export interface Problem {
  readonly code: string;
  readonly field: string;
  readonly value: string;
  readonly limit: string;
}

/** Input that cannot be used; carries every problem found, not just the first. */
export class Unusable extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map((p) => `${p.code} ${p.field}`).join("; "));
    this.problems = problems;
  }
}

/** A number as Python's `:g` writes it, so that both languages show the same value in a problem. */
export function general(value: number): string {
  const [digits, exponent] = value.toExponential(5).split("e") as [string, string];
  const power = Number(exponent);
  if (!Number.isFinite(value) || (power >= -4 && power < 6)) return String(Number(value.toPrecision(6)));
  const sign = power < 0 ? "-" : "+";
  return `${Number(digits)}e${sign}${String(Math.abs(power)).padStart(2, "0")}`;
}
