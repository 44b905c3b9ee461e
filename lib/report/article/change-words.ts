import { formatNumber } from "../../words/mod.ts";

/** A difference in whole patients of 100: "3 more", "12 fewer", "no difference". */
export function changeWords(difference: number): string {
  const whole = Math.round(difference);
  if (whole === 0) return "about the same";
  return `${formatNumber(Math.abs(whole))} ${whole > 0 ? "more" : "fewer"}`;
}

/** The limits of a difference in whole patients of 100: "3 fewer to 9 more", "12 to 21 more". */
export function rangeWords(lower: number, upper: number): string {
  const [from, to] = [Math.round(lower), Math.round(upper)];
  const size = (value: number) => formatNumber(Math.abs(value));
  const side = (value: number) =>
    value === 0 ? "0" : `${size(value)} ${value > 0 ? "more" : "fewer"}`;
  if (from > 0 && to > 0) return `${size(from)} to ${size(to)} more`;
  if (from < 0 && to < 0) return `${size(to)} to ${size(from)} fewer`;
  return `${side(from)} to ${side(to)}`;
}
