/** Building blocks for the shapes of a file's rows. */

import {
  array,
  boolean,
  check,
  type GenericSchema,
  maxLength,
  maxValue,
  minLength,
  minValue,
  number,
  picklist,
  pipe,
  regex,
  safeInteger,
  string,
  unknown,
} from "valibot";

export const anyText = (most: number, least = 0) => pipe(string(), minLength(least), maxLength(most));

export const matching = (pattern: RegExp) => pipe(string(), regex(pattern));

export const within = (low: number, high: number) => pipe(number(), minValue(low), maxValue(high));

export const whole = pipe(number(), safeInteger(), minValue(1));

export const oneOf = <const T extends string>(...values: T[]) => picklist(values);

export const time = pipe(
  string(),
  maxLength(39),
  check((value) => !Number.isNaN(Date.parse(value))),
);

export const flag = boolean();

/** The length is checked first, so a list that is too long is not read. */
export const listOf = <Item extends GenericSchema>(item: Item, most: number, least = 0) =>
  pipe(array(unknown()), minLength(least), maxLength(most), array(item));

/** UUID version 7. */
export const id = matching(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);

/** SHA-256. */
export const digest = matching(/^[0-9a-f]{64}$/);

/** A calendar day, `2026-03-16`. */
export const day = matching(/^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/);

/** A content as a tube may read it, % (V/V), and its uncertainty. */
export const percent = within(-50, 150);
export const uncertainty = within(0, 100);
