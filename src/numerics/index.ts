export { bisect, bisectUp, halve, halveTo } from "./bisect.ts";
export { GAUSS_POINTS, GAUSS_WEIGHTS } from "./gauss.ts";
