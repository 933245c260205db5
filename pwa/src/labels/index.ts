/**
 * The one place for what the app says. Every place has one file; a second language is a second set of files of the
 * type `Labels`, chosen here.
 */

import { common } from "./common";
import { fuel } from "./fuel";
import { log } from "./log";
import { parts } from "./parts";
import { photo } from "./photo";
import { sources } from "./sources";
import { test } from "./test";
import { tubes } from "./tubes";

const english = { common, parts, photo, test, sources, fuel, log, tubes };

export type Labels = typeof english;

export const labels: Labels = english;
