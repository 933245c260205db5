/** File schema and stored rows match: a field or value that only one of them has fails tsc here. */

import type { GenericSchema, InferOutput } from "valibot";
import { expectTypeOf } from "vitest";
import type { ownTest, source, tubeRow } from "@/files/log-shapes";
import type { can, fill, photo, plan, settings, sheet, star, tank, vehicles } from "@/files/private-shapes";
import type { CanRow } from "@/rows/can";
import type { Draft } from "@/rows/draft";
import type { FillRow } from "@/rows/fill";
import type { PhotoRow } from "@/rows/photo";
import type { PlanRow } from "@/rows/plan";
import type { Settings } from "@/rows/settings";
import type { SourceRow } from "@/rows/source";
import type { StarRow } from "@/rows/star";
import type { OwnTest } from "@/rows/test";
import type { TubeRow } from "@/rows/tube";
import type { Tank, Vehicles } from "@/rows/vehicle";

/** A type expanded, without `readonly`. */
type Plain<Row> = Row extends object ? { -readonly [Name in keyof Row]: Plain<Row[Name]> } : Row;
type Read<Shape extends GenericSchema> = Plain<InferOutput<Shape>>;

expectTypeOf<Read<typeof ownTest>>().toEqualTypeOf<Plain<OwnTest>>();
expectTypeOf<Read<typeof source>>().toEqualTypeOf<Plain<SourceRow>>();
expectTypeOf<Required<Read<typeof tubeRow>>>().toEqualTypeOf<Plain<TubeRow>>();
expectTypeOf<Read<typeof plan>>().toEqualTypeOf<Plain<PlanRow>>();
expectTypeOf<Read<typeof star>>().toEqualTypeOf<Plain<StarRow>>();
expectTypeOf<Read<typeof can>>().toEqualTypeOf<Plain<CanRow>>();
expectTypeOf<Read<typeof fill>>().toEqualTypeOf<Plain<FillRow>>();
expectTypeOf<Read<typeof tank>>().toEqualTypeOf<Plain<Tank>>();
expectTypeOf<Read<typeof vehicles>>().toEqualTypeOf<Plain<Vehicles>>();
expectTypeOf<Read<typeof settings>>().toEqualTypeOf<Plain<Partial<Settings>>>();
// A draft that corrects a test stays on its phone.
expectTypeOf<Read<typeof sheet>>().toEqualTypeOf<Plain<Omit<Draft, "corrects">>>();

// A file has a picture's bytes as text, and only the media types that the server accepts.
type Alike = Exclude<keyof PhotoRow, "bytes" | "type">;
expectTypeOf<keyof Read<typeof photo>>().toEqualTypeOf<keyof PhotoRow>();
expectTypeOf<Pick<Read<typeof photo>, Alike>>().toEqualTypeOf<Pick<PhotoRow, Alike>>();
