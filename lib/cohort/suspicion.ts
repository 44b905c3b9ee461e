const dateLike = new RegExp(
  [
    String.raw`^\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}([ T].*)?$`, // 2014-03-02, 2/3/14, 02.03.2014
    String.raw`^(19|20)\d{2}(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])$`, // 20140302
    String.raw`^(19|20)\d{2}[-/](0[1-9]|1[0-2])$`, // 2014-03
    String.raw`^\d{1,2}[-/ ]?(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)`, // 2 Mar 2014
    String.raw`^(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[-/ .]+\d`, // March 2014
    String.raw`^\d{1,2}:\d{2}(:\d{2})?$`, // 14:30
  ].join("|"),
  "i",
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

/** Whether a value can be a random pseudonym: letters, digits, hyphens, and not a date. */
export function looksLikePseudonym(value: string): boolean {
  return /^[A-Za-z0-9_-]{1,64}$/.test(value) && !looksLikeDate(value);
}

/** Whether a column of pseudonyms could be names: letters alone, and of uneven length. */
export function lookLikeNames(values: readonly string[]): boolean {
  const letters = values.filter((value) => /^[A-Za-z_-]+$/.test(value));
  if (2 * letters.length <= values.length) return false;
  return letters.some((value) => value.length !== letters[0]?.length);
}

/** Whether a value can be a short code such as S7, 12 or B: never a name. */
export function looksLikeCode(value: string): boolean {
  return /^([A-Za-z]{0,3}[-_]?\d{1,6}|[A-Za-z])$/.test(value);
}

/** Whether a column's name may be printed: words, not something that is itself a value. */
export function looksLikeColumnName(name: string): boolean {
  return /^[A-Za-z_][A-Za-z0-9_ .()%-]{0,39}$/.test(name) && !looksLikeDate(name) &&
    !/\d{5}/.test(name);
}
