/** In which order a file writes the parts of a date. */
export type DateOrder = "year-first" | "day-first" | "month-first";

/** The orders in which dates are written. */
export const dateOrders: readonly DateOrder[] = ["year-first", "day-first", "month-first"];

const months = "jan feb mar apr may jun jul aug sep oct nov dec".split(" ");
const msPerDay = 86_400_000;

/**
 * The day a date falls on, counted from 1 January 1970, or NaN.
 *
 * Reads `2014-03-02`, `20140302` and a month's English name in any order of the file; `02.03.2014`
 * or `2/3/2014` by the file's order. A time of day after the date is left out. A year of two digits
 * is no date: nobody can tell the century.
 */
export function dayOf(text: string, order: DateOrder): number {
  const trimmed = text.trim().replace(/[ T]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?Z?$/, "");
  const iso = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$/.exec(trimmed) ??
    /^(\d{4})(\d{2})(\d{2})$/.exec(trimmed);
  if (iso) return dayNumber(iso[1], iso[2], iso[3]);
  const named = /^(\d{1,2})[-/. ]*([a-z]{3})[a-z]*[-/. ]*(\d{4})$/i.exec(trimmed);
  if (named) {
    const month = months.indexOf((named[2] ?? "").toLowerCase()) + 1;
    return dayNumber(named[3], String(month), named[1]);
  }
  const parts = /^(\d{1,2})[-/.](\d{1,2})[-/.](\d{4})$/.exec(trimmed);
  if (!parts || order === "year-first") return NaN;
  const [, first, second, year] = parts;
  return order === "day-first" ? dayNumber(year, second, first) : dayNumber(year, first, second);
}

/** Whether a text is a date in one of the orders. */
export function isDate(text: string): boolean {
  return dateOrders.some((order) => !Number.isNaN(dayOf(text, order)));
}

/** Whole years from one day to another, both from {@link dayOf}. */
export function yearsBetween(from: number, to: number): number {
  if (Number.isNaN(from) || Number.isNaN(to)) return NaN;
  const [start, end] = [new Date(from * msPerDay), new Date(to * msPerDay)];
  const years = end.getUTCFullYear() - start.getUTCFullYear();
  const before = end.getUTCMonth() < start.getUTCMonth() ||
    (end.getUTCMonth() === start.getUTCMonth() && end.getUTCDate() < start.getUTCDate());
  return before ? years - 1 : years;
}

/** The calendar year of a day from {@link dayOf}. */
export function yearOf(day: number): number {
  return new Date(day * msPerDay).getUTCFullYear();
}

function dayNumber(year = "", month = "", day = ""): number {
  const time = Date.UTC(Number(year), Number(month) - 1, Number(day));
  const date = new Date(time);
  // the 31st of February comes out as another day
  const same = date.getUTCMonth() === Number(month) - 1 && date.getUTCDate() === Number(day) &&
    date.getUTCFullYear() === Number(year);
  return same ? time / msPerDay : NaN;
}
