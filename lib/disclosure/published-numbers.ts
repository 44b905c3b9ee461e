import { roundTo } from "../words/mod.ts";

/** How a number stands in a table, as far as it matters for what is written of it. */
export interface PrintedColumn {
  label: string;
  unit?: string;
  /** Decimals printed. */
  digits?: number;
}

/**
 * A number as it is written into files: nothing there has more figures than anybody can mean.
 *
 * Whole numbers stay. Person-time and what is divided by it keep what is printed: two sums of time
 * that differ by one patient would tell that patient's last day. All others keep four significant
 * figures, or what is printed where that is more; and so many that they print as the number would.
 *
 * @example
 * ```ts ignore
 * import { publishedNumber } from "./mod.ts";
 * publishedNumber(4647.5975, { label: "Late patient-years", digits: 0 }); // 4648
 * publishedNumber(1.00412718, { label: "Hazard ratio", digits: 2 }); // 1.004
 * ```
 */
export function publishedNumber(
  value: number,
  { label, unit = "", digits }: PrintedColumn,
): number {
  if (!Number.isFinite(value) || Number.isInteger(value)) return value;
  if (/(patient|person)-years/i.test(`${label} ${unit}`)) return roundTo(value, digits ?? 0);
  if (digits !== undefined && figureDigits(value) < digits) return roundTo(value, digits);
  const figures = Number(value.toPrecision(4));
  // rounded twice, a number just below a half would be printed above it
  return digits !== undefined && roundTo(figures, digits) !== roundTo(value, digits)
    ? Number(value.toPrecision(6))
    : figures;
}

/** Decimals of a number with four significant figures. */
function figureDigits(value: number): number {
  return 3 - Math.floor(Math.log10(Math.abs(value)));
}
