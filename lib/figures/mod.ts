export { type Figure, type FigureOptions, makeFigure } from "./figure.ts";
export * from "./survival-figure.ts";
export * from "./incidence-figure.ts";
export * from "./balance-figure.ts";
export * from "./propensity-figure.ts";
export * from "./flow-figure.ts";
