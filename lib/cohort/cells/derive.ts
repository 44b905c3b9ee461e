import type { DerivedRule } from "../../study/mapping/mod.ts";
import { codeKey } from "./convert.ts";
import { dayOf, yearOf, yearsBetween } from "./date-cell.ts";
import { numberOf } from "./number-cell.ts";

/** The cells of one row, by the file's column names; a code for a missing value is "". */
export type Cells = (source: string) => string;

/** What a rule makes of a row: text for the column's reader, or why there is none. */
export type Derived = string | { unreadable: string };

/** The columns of the file that a rule reads. */
export function sourcesOf(rule: DerivedRule): string[] {
  switch (rule.rule) {
    case "days-between":
      return [rule.from, ...[rule.to].flat()];
    case "years-between":
      return [rule.from, rule.to];
    case "year-of":
    case "place-by-date":
      return [rule.date];
    case "body-surface":
      return [rule.height, rule.weight];
    case "set-of":
      return Object.keys(rule.sources);
    case "constant":
      return [];
    default:
      return rule.sources;
  }
}

/** A rule's work on one row. `place-by-date` gives the day, which is turned into a place at the end. */
export function deriver(rule: DerivedRule, decimal: "." | ","): (cells: Cells) => Derived {
  const point = decimal === "," ? 44 : 46;
  switch (rule.rule) {
    case "days-between":
      return (cells) => {
        const to = firstFilled([rule.to].flat(), cells);
        return withDates([cells(rule.from), to], rule.order, ([from = 0, end = 0]) => end - from);
      };
    case "years-between":
      return (cells) =>
        withDates([cells(rule.from), cells(rule.to)], rule.order, ([from = 0, to = 0]) => {
          const years = yearsBetween(from, to);
          // 90 stands for 90 and over
          return rule.column === "age" ? Math.min(90, years) : years;
        });
    case "year-of":
      return (cells) => withDates([cells(rule.date)], rule.order, ([day = NaN]) => yearOf(day));
    case "place-by-date":
      return (cells) => withDates([cells(rule.date)], rule.order, ([day = NaN]) => day);
    case "first-of":
      return (cells) => firstFilled(rule.sources, cells);
    case "filled":
      return (cells) => firstFilled(rule.sources, cells) === "" ? "0" : "1";
    case "any-of": {
      const answer = answers(rule);
      return (cells) => {
        const given = rule.sources.map((source) => answer(cells(source)));
        if (given.includes("neither")) return neither;
        if (given.includes("yes")) return "1";
        return given.includes("blank") ? "" : "0";
      };
    }
    case "count-of": {
      const answer = answers(rule);
      return (cells) => {
        const given = rule.sources.map((source) => answer(cells(source)));
        if (given.includes("neither")) return neither;
        if (given.includes("blank")) return "";
        return String(given.filter((one) => one === "yes").length);
      };
    }
    case "set-of": {
      const answer = answers(rule);
      const sources = Object.entries(rule.sources);
      return (cells) => {
        const given = sources.map(([source, code]) => ({ code, is: answer(cells(source)) }));
        if (given.some(({ is }) => is === "neither")) return neither;
        // a list names what was done: a blank is not on it
        return given.filter(({ is }) => is === "yes").map(({ code }) => code).join(";");
      };
    }
    case "body-surface":
      return (cells) => {
        const height = cells(rule.height).trim();
        const weight = cells(rule.weight).trim();
        if (height === "" || weight === "") return "";
        // Mosteller (1987) NEJM 317:1098
        const area = Math.sqrt(numberOf(height, point) * numberOf(weight, point) / 3600);
        return Number.isNaN(area)
          ? { unreadable: "cannot be worked out: height or weight is no number" }
          : area.toFixed(2);
      };
    case "constant":
      return () => String(rule.value);
  }
}

/** Places 1, 2, 3, ... by day, a tie in the file's order; a missing day has none. */
export function placesByDay(days: Float64Array): Float64Array {
  const order = Uint32Array.from(days, (_, row) => row)
    .filter((row) => !Number.isNaN(days[row]))
    .sort((a, b) => (days[a] ?? 0) - (days[b] ?? 0) || a - b);
  const places = new Float64Array(days.length).fill(NaN);
  order.forEach((row, i) => places[row] = i + 1);
  return places;
}

function withDates(
  texts: string[],
  order: "year-first" | "day-first" | "month-first",
  use: (days: number[]) => number,
): Derived {
  if (texts.some((text) => text === "")) return "";
  const days = texts.map((text) => dayOf(text, order));
  if (days.some(Number.isNaN)) {
    return { unreadable: `cannot be worked out: a date is not one written ${order}` };
  }
  return String(use(days));
}

function firstFilled(sources: string[], cells: Cells): string {
  for (const source of sources) {
    const value = cells(source);
    if (value !== "") return value;
  }
  return "";
}

const neither = { unreadable: "cannot be worked out: a value is neither one of yes nor of no" };

/** What a cell answers; a value that is in neither list must not pass for a no. */
function answers(rule: { yes: (string | number)[]; no: (string | number)[] }) {
  const [yes, no] = [keysOf(rule.yes), keysOf(rule.no)];
  return (value: string): "yes" | "no" | "blank" | "neither" => {
    if (value === "") return "blank";
    const key = codeKey(value);
    return yes.has(key) ? "yes" : no.has(key) ? "no" : "neither";
  };
}

function keysOf(values: (string | number)[]): Set<string> {
  return new Set(values.map((value) => codeKey(String(value))));
}
