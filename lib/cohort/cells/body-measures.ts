/**
 * Micromoles a litre of creatinine in one milligram a decilitre: its molar mass is 113.12 g/mol.
 */
export const micromolesPerMg = 88.4;

/** Centimetres in a unit of height. An inch by the international agreement of 1959. */
export const centimetres = { cm: 1, m: 100, in: 2.54 } as const;

/** Kilograms in a unit of weight. A pound by the same agreement. */
export const kilograms = { kg: 1, lb: 0.45359237 } as const;

/**
 * Estimated glomerular filtration rate in mL/min/1.73 m², from serum creatinine, age and sex.
 *
 * 142 min(c/k, 1)^a max(c/k, 1)^-1.2 0.9938^age, times 1.012 in women; k = 0.7 and a = -0.241 in
 * women, 0.9 and -0.302 in men.
 *
 * @param of Creatinine in mg/dL, age in years.
 * @see Inker and others (2021) N Engl J Med 385:1737-1749, the equation without a term for race
 */
export function filtrationRate(
  { creatinine, age, sex }: { creatinine: number; age: number; sex: "F" | "M" },
): number {
  const female = sex === "F";
  const ratio = creatinine / (female ? 0.7 : 0.9);
  return 142 * Math.min(ratio, 1) ** (female ? -0.241 : -0.302) * Math.max(ratio, 1) ** -1.2 *
    0.9938 ** age * (female ? 1.012 : 1);
}

/**
 * Body surface area in m².
 *
 * @param of Height in cm, weight in kg.
 * @see Mosteller (1987) N Engl J Med 317:1098; Du Bois and Du Bois (1916) Arch Intern Med 17:863
 */
export function bodySurface(
  { height, weight }: { height: number; weight: number },
  formula: "mosteller" | "du-bois",
): number {
  return formula === "mosteller"
    ? Math.sqrt(height * weight / 3600)
    : 0.007184 * height ** 0.725 * weight ** 0.425;
}
