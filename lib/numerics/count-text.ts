/** A whole number as print has it, with a comma between thousands; the same on every machine. */
export function countText(count: number): string {
  return String(Math.round(count)).replace(/\B(?=(\d{3})+$)/g, ",");
}
