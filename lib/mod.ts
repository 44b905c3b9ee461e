/**
 * The public surface: everything a notebook needs, under one import name.
 *
 * ```ts
 * import { kaplanMeier } from "mitral";
 * ```
 *
 * @module
 */
export * from "./numerics/mod.ts";
export * from "./study/mod.ts";
export * from "./cohort/mod.ts";
export * from "./regression/mod.ts";
export * from "./balance/mod.ts";
export * from "./survival/mod.ts";
export * from "./competing/mod.ts";
export * from "./missing/mod.ts";
export * from "./sensitivity/mod.ts";
export * from "./programme/mod.ts";
export * from "./figures/mod.ts";
export * from "./report/mod.ts";
