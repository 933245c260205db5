/** The English labels beyond the first screen. */

export { default as problems } from "@constants/checking/wording.json?en";
export { fillUps } from "./fill-ups";
export { fuel } from "./fuel";
export { log } from "./log";
export { passOn } from "./pass-on";
export { guide, level, photo } from "./photo";
export { record } from "./record";
export { result } from "./result";
export { sources } from "./sources";
export { tubes } from "./tubes";
export { vehicles } from "./vehicles";
