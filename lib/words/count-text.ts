/** The digits of a whole number with a comma between thousands; the same on every machine. */
export function groupedDigits(digits: string): string {
  return digits.replace(/\B(?=(\d{3})+$)/g, ",");
}

/** A whole number as print has it, with a comma between thousands. */
export function countText(count: number): string {
  return groupedDigits(String(Math.round(count)));
}
