/** The Swedish labels of the first screen. */

export { common } from "./common";
export { format } from "./format";
export { method } from "./method";
export { parts } from "./parts";
export { scales } from "./scales";
export { sourceForm } from "./source-form";
export { test } from "./test";
