/** Words that stand for yes, no, a sex or a missing value in many files: they identify nobody. */
const common = new Set(
  ("y n yes no j ja nein oui non si true false t f m male female man woman w u unknown unk nk na " +
    "n/a #n/a nd none null nil missing . - ? x #null! #div/0! #ref! #value! #name? #num!").split(
      " ",
    ),
);

/**
 * A cell that is not as it should be, where it may be shown: a short number or a common word.
 * Anything else could identify somebody and is `null`.
 */
export function shownText(cell: string): string | null {
  const text = cell.trim();
  return /^[-+]?\d{0,4}([.,]\d{0,3})?%?$/.test(text) || common.has(text.toLowerCase())
    ? text
    : null;
}

/**
 * A number as it may be printed: at most four digits. Five or more could be a post code, a record
 * number or the day that a spreadsheet counts, whatever unit it has been converted from.
 */
export function shownNumber(value: number): string | null {
  const text = String(value);
  return /^-?\d*\.?\d*$/.test(text) && text.replace(/\D/g, "").replace(/^0+/, "").length <= 4
    ? text
    : null;
}

/**
 * The value of a column with those it was compared with: `60; lvedd 55`. `null` if none is shown.
 */
export function shownTogether(
  column: string,
  beside: readonly string[],
  shown: (name: string) => string | null,
): string | null {
  const others = beside.flatMap((name) => {
    const value = shown(name);
    return value === null ? [] : [`${name} ${value}`];
  });
  const own = shown(column);
  const parts = own === null ? others : [own, ...others];
  return parts.length === 0 ? null : parts.join("; ");
}
