/**
 * The life table of an invented population, as CSV text for the demonstration.
 *
 * Gompertz: the hazard at age a in calendar year y is level * exp(0.095 (a - 70)) * 0.985^(y -
 * 2000), level 0.026 a year for men and 0.017 for women at 70 in 2000; q = 1 - exp(-hazard over the
 * year of age). Ages 0 to 110, years 1990 to 2025 by five. The numbers are made up to look
 * plausible and describe no country; the first line and the `source` column say so.
 */
export function inventedLifeTable(): string {
  const lines = [
    "# INVENTED life table for demonstration: a formula, no real population; replace with your own",
    "sex,age,year,q,source",
  ];
  for (const [sex, level] of [["F", 0.017], ["M", 0.026]] as const) {
    for (let year = 1990; year <= 2025; year += 5) {
      for (let age = 0; age <= 110; age++) {
        lines.push(`${sex},${age},${year},${yearlyRisk(level, age, year).toFixed(6)},invented`);
      }
    }
  }
  return lines.join("\n") + "\n";
}

const AGEING = 0.095;

function yearlyRisk(level: number, age: number, year: number): number {
  const start = level * Math.exp(AGEING * (age - 70)) * 0.985 ** (year - 2000);
  return -Math.expm1(-start * Math.expm1(AGEING) / AGEING);
}
