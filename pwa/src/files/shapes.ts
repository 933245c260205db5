/** Checks what a file brings, field by field, before any of it is kept. */

export type Check = (value: unknown) => boolean;

export const anyText =
  (most: number, least = 0): Check =>
  (value) =>
    typeof value === "string" && value.length >= least && value.length <= most;

export const matching =
  (pattern: RegExp): Check =>
  (value) =>
    typeof value === "string" && pattern.test(value);

export const within =
  (low: number, high: number): Check =>
  (value) =>
    typeof value === "number" && value >= low && value <= high;

export const whole: Check = (value) => Number.isSafeInteger(value) && (value as number) >= 1;

export const oneOf =
  (...values: unknown[]): Check =>
  (value) =>
    values.includes(value);

export const time: Check = (value) =>
  typeof value === "string" && value.length < 40 && !Number.isNaN(Date.parse(value));

export const flag: Check = (value) => typeof value === "boolean";

export const orNull =
  (check: Check): Check =>
  (value) =>
    value === null || check(value);

export const anyOf =
  (...checks: Check[]): Check =>
  (value) =>
    checks.some((check) => check(value));

export const listOf =
  (check: Check, most: number, least = 0): Check =>
  (value) =>
    Array.isArray(value) && value.length >= least && value.length <= most && value.every(check);

/** An object with exactly these fields; those of `later` may be missing, since earlier versions did not have them. */
export const fields =
  (shape: Record<string, Check>, later: Record<string, Check> = {}): Check =>
  (value) => {
    if (typeof value !== "object" || value === null || Array.isArray(value)) return false;
    const known = { ...later, ...shape };
    const isSound = (name: string) => known[name]?.(Reflect.get(value, name)) ?? false;
    return Object.keys(value).every(isSound) && Object.keys(shape).every((name) => Object.hasOwn(value, name));
  };

/** UUID version 7. */
export const id = matching(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);

/** SHA-256. */
export const digest = matching(/^[0-9a-f]{64}$/);

/** A calendar day, `2026-03-16`. */
export const day = matching(/^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/);

/** A content as a tube may read it, % (V/V), and its uncertainty. */
export const percent = within(-50, 150);
export const uncertainty = within(0, 100);
