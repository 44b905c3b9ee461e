import type { DerivedRule } from "../../study/mapping/mod.ts";
import { bodySurface, centimetres, kilograms, micromolesPerMg } from "./body-measures.ts";
import { codeKey } from "./convert.ts";
import { dayOf, yearOf, yearsBetween } from "./date-cell.ts";
import { numberOf } from "./number-cell.ts";
import { numberFinder, plainWords, wordFinder } from "./text-words.ts";

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
    case "days-after-operation":
      return [rule.date];
    case "body-surface":
      return [rule.height, rule.weight];
    case "filtration-rate":
      return [rule.creatinine];
    case "words-of":
    case "number-after":
      return [rule.from];
    case "set-of":
      return Object.keys(rule.sources);
    case "constant":
      return [];
    default:
      return rule.sources;
  }
}

/**
 * What the export's reader calls the date of operation of a visit's patient, written year first.
 */
export const operationOfPatient = "date of operation, from the patients table";

/**
 * A rule's work on one row. `place-by-date` gives the day, which is turned into a place at the end,
 * and `filtration-rate` creatinine, which becomes a rate once age and sex are known.
 *
 * @param several Whether the column is a set, which takes every word that is found.
 */
export function deriver(
  rule: DerivedRule,
  decimal: "." | ",",
  several = false,
): (cells: Cells) => Derived {
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
        const height = cells(rule.height);
        const weight = cells(rule.weight);
        if (height === "" || weight === "") return "";
        const area = bodySurface(
          {
            height: centimetres[rule.heightUnit] * numberOf(height, point),
            weight: kilograms[rule.weightUnit] * numberOf(weight, point),
          },
          rule.formula,
        );
        return Number.isNaN(area)
          ? { unreadable: "cannot be worked out: height or weight is no number" }
          : area.toFixed(2);
      };
    case "filtration-rate":
      // age and sex may be worked out themselves: creatinine goes on, in mg/dL
      return (cells) => {
        const text = cells(rule.creatinine);
        if (text === "") return "";
        const creatinine = numberOf(text, point) / (rule.unit === "umol/L" ? micromolesPerMg : 1);
        return creatinine > 0
          ? String(creatinine)
          : { unreadable: "cannot be worked out: creatinine is no number above 0" };
      };
    case "words-of": {
      const entries = rule.words.map(({ any, none = [], code }) => ({
        any: any.map(wordFinder),
        none: none.map(wordFinder),
        code: String(code),
      }));
      return (cells) => {
        const text = plainWords(cells(rule.from));
        if (text === "") return "";
        const found = entries.filter(({ any, none }) =>
          any.some((finds) => finds(text)) && !none.some((finds) => finds(text))
        ).map(({ code }) => code);
        if (found.length > 0) return several ? [...new Set(found)].join(";") : found[0] ?? "";
        return rule.otherwise === undefined
          ? { unreadable: "cannot be worked out: none of the words for it is in the text" }
          : String(rule.otherwise);
      };
    }
    case "number-after": {
      const numbers = rule.after.map(numberFinder);
      const words = rule.after.map(wordFinder);
      return (cells) => {
        const text = plainWords(cells(rule.from));
        for (const find of numbers) {
          const number = find(text);
          if (number !== null) return number;
        }
        // "3 grafts" is not none, though no number follows the word
        if (words.some((finds) => finds(text))) {
          return { unreadable: "cannot be worked out: no number follows the word for it" };
        }
        return text === "" ? "" : String(rule.otherwise ?? "");
      };
    }
    case "days-after-operation":
      return (cells) => {
        const [start, end] = [cells(operationOfPatient), cells(rule.date)];
        if (start === "" || end === "") return "";
        const day = dayOf(end, rule.order);
        return Number.isNaN(day)
          ? { unreadable: `cannot be worked out: a date is not one written ${rule.order}` }
          : String(day - dayOf(start, "year-first"));
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
