const numeral = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i;
// powers of ten that a double holds exactly, and so divides by with one rounding
const powers = Float64Array.from({ length: 16 }, (_, k) => 10 ** k);

/**
 * The number a cell holds, or NaN.
 *
 * Digits with an optional sign, point and exponent; neither hexadecimal nor `Infinity`. Plain
 * numbers of at most 15 digits, which nearly all are, are put together from their digits: both the
 * digits and the power of ten are exact, so the quotient is the nearest double, as `Number` gives.
 *
 * @param text Without outer spaces.
 * @param point Character code of the decimal mark: 46 or 44.
 */
export function numberOf(text: string, point: number): number {
  const length = text.length;
  const negative = text.charCodeAt(0) === 45;
  let at = negative ? 1 : 0;
  if (length - at < 16 && length > at) {
    let digits = 0;
    let decimals = -1;
    for (; at < length; at++) {
      const code = text.charCodeAt(at);
      if (code >= 48 && code <= 57) {
        digits = 10 * digits + code - 48;
        if (decimals >= 0) decimals++;
      } else if (code === point && decimals < 0) decimals = 0;
      else break;
    }
    const count = length - (negative ? 1 : 0) - (decimals >= 0 ? 1 : 0);
    if (at === length && count > 0) {
      const value = decimals > 0 ? digits / powers[decimals]! : digits;
      return negative ? -value : value;
    }
  }
  const plain = point === 44 ? withPoint(text) : text;
  return numeral.test(plain) ? Number(plain) : NaN;
}

/** A number with a decimal comma, written with a point; nothing, if it has a point already. */
function withPoint(text: string): string {
  return text.includes(".") ? "" : text.replace(",", ".");
}
