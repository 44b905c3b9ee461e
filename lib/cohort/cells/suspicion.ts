// English, German, French, Spanish, Italian and Dutch, as abbreviated
const months =
  "jan|feb|mar(?!k)|apr|may|jun|jul|aug|sep|oct|nov|dec|mär|mai|mrt|mei|okt|dez|janv|févr|" +
  "fev|avr|juin|juil|août|aout|déc|ene|abr|ago|dic|genn|magg|giugn|lugl|sett|ott";

const dateLike = new RegExp(
  [
    String.raw`^(19|20)\d{2}(?<big>[-/.])\d{1,2}\k<big>\d{1,2}([ T].*)?$`, // 2014-03-02, 2014-03-02T10:00
    String.raw`^\d{1,2}(?<little>[-/.])\d{1,2}\k<little>(\d{2}|(19|20)\d{2})([ T].*)?$`, // 2/3/14, 02.03.2014
    String.raw`^(19|20)\d{2}(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])$`, // 20140302
    String.raw`^(0[1-9]|[12]\d|3[01])(0[1-9]|1[0-2])(19|20)\d{2}$`, // 02032014
    String.raw`^(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])(19|20)\d{2}$`, // 03022014
    String.raw`^(19|20)\d{2}(0[1-9]|1[0-2])$`, // 201403
    String.raw`^(19|20)\d{2}[-/](0[1-9]|1[0-2])$`, // 2014-03
    String.raw`^(0?[1-9]|1[0-2])[-/](19|20)\d{2}$`, // 03/2014
    String.raw`^(19|20)\d{2}[ -]?[QW]\d{1,2}$|^Q[1-4][ /-]?(19|20)\d{2}$`, // 2014-Q1
    String.raw`^\d{1,2}(st|nd|rd|th)?[-/. ]*(of )?(${months})`, // 2 Mar 2014
    String.raw`^(${months})[\p{L}]*\.?[-/ ]+\d`, // March 2014, March 2, 2014
    String.raw`^(mon|tue|wed|thu|fri|sat|sun)[a-z]*[, ]+(\d|${months})`, // Sun 2 Mar 2014
    String.raw`^(19|20)\d{2}[-/. ](${months})`, // 2014-Mar-02
    String.raw`^(19|20)\d{2}年`, // 2014年3月2日
    String.raw`^\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?( ?[ap]m)?$`, // 14:30
  ].join("|"),
  "iu",
);

/** Whether a value looks like a date or a time of day. */
export function looksLikeDate(value: string): boolean {
  return dateLike.test(value);
}

/**
 * Whether a value that is none of a column's codes looks written by hand: words, an address, a
 * long value.
 */
export function looksLikeFreeText(value: string): boolean {
  return /[\s@:/]/.test(value) || value.length > 24 || /[^\x20-\x7e]/.test(value);
}

const almostNumber =
  /^(?:[<>≤≥~]=?|ca\.?|about)?\s*\d{1,3}(?:[.,]\d{1,2})?(?:\s*(?:[-–]|to|bis)\s*\d{1,3}(?:[.,]\d{1,2})?)?\s*(?:%|°|\+|\?|mm|cm|m|ml|mmhg|min|kg)?$/i;

/** Whether a value is a short number with a unit, a sign or a range: "55 %", "> 60", "55 - 60". */
export function looksLikeAlmostNumber(value: string): boolean {
  return almostNumber.test(value.trim());
}

/** Whether a value can be a random pseudonym: letters, digits, hyphens, and not a date. */
export function looksLikePseudonym(value: string): boolean {
  return /^[A-Za-z0-9_-]{1,64}$/.test(value) && !looksLikeDate(value);
}

/** Whether a column of pseudonyms could be names: letters alone, and of uneven length. */
export function lookLikeNames(values: Iterable<string>): boolean {
  let [all, letters, length, uneven] = [0, 0, 0, false];
  for (const value of values) {
    all++;
    if (!/^[A-Za-z_-]+$/.test(value)) continue;
    if (letters++ === 0) length = value.length;
    else if (value.length !== length) uneven = true;
  }
  return uneven && 2 * letters > all;
}

/** Whether a value can be a short code such as S7, 12 or B: never a name. */
export function looksLikeCode(value: string): boolean {
  return /^([A-Za-z]{0,3}[-_]?\d{1,6}|[A-Za-z])$/.test(value);
}

/** Whether a column's name may be printed: words, not something that is itself a value. */
export function looksLikeColumnName(name: string): boolean {
  return /^[\p{L}_][\p{L}\p{M}\d_ .()%²³µ/-]{0,39}$/u.test(name) && !looksLikeDate(name) &&
    !/\d{5}/.test(name);
}
