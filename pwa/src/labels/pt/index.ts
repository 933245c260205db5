/** What the app says, in Brazilian Portuguese. */

import type { Labels } from "..";
import { common } from "./common";
import { fillUps } from "./fill-ups";
import { format } from "./format";
import { fuel } from "./fuel";
import { log } from "./log";
import { method } from "./method";
import { parts } from "./parts";
import { passOn } from "./pass-on";
import { guide, level, photo } from "./photo";
import { problems } from "./problems";
import { record } from "./record";
import { sources } from "./sources";
import { test } from "./test";
import { tubes } from "./tubes";
import { vehicles } from "./vehicles";

export const labels: Labels = {
  common,
  format,
  parts,
  method,
  passOn,
  photo,
  guide,
  level,
  problems,
  record,
  test,
  sources,
  fuel,
  fillUps,
  log,
  tubes,
  vehicles,
};
