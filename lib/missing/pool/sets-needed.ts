import { checkNumber, fewerOfMany } from "../../numerics/mod.ts";

/**
 * How many completed sets to make before anything is estimated: one for each per cent of rows with
 * a value missing, at least 10 and at most 100.
 *
 * @param share Rows with at least one value missing, in [0, 1].
 * @throws {DataError}
 * @see White, Royston & Wood (2011) Stat Med 30:377-399, section 7 (one a per cent); the bounds:
 * common practice, no source.
 */
export function setsForIncomplete(share: number): number {
  checkNumber("share", share, (s) => s >= 0 && s <= 1, "in [0, 1]");
  return Math.min(100, Math.max(10, Math.ceil(100 * share - 1e-9)));
}

/** With fewer a pooled error would rest on too little; see {@link setsForPrecision}. */
const fewestOfMany = 3;

/**
 * How many of the completed sets asked for are made of so many patients: all of them up to 20,000,
 * of more in inverse proportion, and never fewer than three.
 *
 * What the number of sets leaves to chance in a pooled estimate is sd(between sets) / sqrt(sets),
 * and that spread goes as 1 / sqrt(patients): sets times patients, which decides it, is never less
 * here than at 20,000 patients. With three sets a standard error comes out the same to within 5%
 * of itself where a tenth of the information is missing ({@link setsForPrecision}).
 *
 * @param asked At least 1.
 * @throws {DataError}
 * @see von Hippel (2020) Sociol Methods Res 49:699-718 (both errors); the bound of 20,000: chosen
 * here, no source.
 */
export function setsForMany(asked: number, patients: number): number {
  checkNumber("asked", asked, (sets) => Number.isInteger(sets) && sets >= 1, "a whole number >= 1");
  checkNumber("patients", patients, (n) => n >= 0 && n < Infinity, "at least 0");
  return fewerOfMany(asked, patients, fewestOfMany);
}

/**
 * How many completed sets a standard error needs to come out the same, to within `spread` of
 * itself, were the imputation made again: 1 + (f / spread)^2 / 2, f the fraction
 * of information missing.
 *
 * @param spread Coefficient of variation of the standard error, default 0.05.
 * @throws {DataError}
 * @see von Hippel (2020) Sociol Methods Res 49:699-718.
 */
export function setsForPrecision(
  fractionMissing: number,
  options: { spread?: number } = {},
): number {
  checkNumber("fractionMissing", fractionMissing, (f) => f >= 0 && f <= 1, "in [0, 1]");
  const spread = options.spread ?? 0.05;
  checkNumber("spread", spread, (s) => s > 0 && s < 1, "between 0 and 1");
  return Math.ceil(1 + (fractionMissing / spread) ** 2 / 2 - 1e-9);
}
