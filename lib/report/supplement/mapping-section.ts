import { listText } from "../../words/mod.ts";
import { shownHeading, waivers } from "../model/mod.ts";
import { shownText, sourcesOf } from "../../cohort/cells/mod.ts";
import { dictionaryColumn, type TableName } from "../../cohort/dictionary/mod.ts";
import { identifierKinds } from "../../cohort/identifiers/mod.ts";
import { type DerivedRule, type MappedSource, whyUnread } from "../../study/mapping/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { labelOf, sentence } from "../show/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/** One column of a file for which the study file says something. */
interface Declared {
  table: TableName;
  heading: string;
  source: MappedSource;
}

/** A column that is worked out, and how. */
interface Derived {
  table: TableName;
  rule: DerivedRule;
}

const tables = ["patients", "visits"] as const;

/**
 * Whether the study file says anything of how the files' columns become those of the dictionary.
 */
export function hasMapping({ mapping }: Study): boolean {
  return mapping.missing.length > 0 ||
    tables.some((table) =>
      Object.keys(mapping[table]).length > 0 || mapping.derived[table].length > 0
    );
}

/**
 * How the files' columns became those that were analysed, as the study file declares it: names,
 * units, code lists, codes for missing values, intervals from dates, columns worked out, and
 * columns left unread. Codes are counted, not shown: a code could be anything.
 */
export function mappingTree(study: Study): Content {
  const { mapping, columns } = study;
  const declared = tables.flatMap((table) =>
    Object.entries(mapping[table]).map(([heading, source]): Declared => ({
      table,
      heading,
      source,
    }))
  );
  const rules = tables.flatMap((table) => mapping.derived[table].map((rule) => ({ table, rule })));
  const inWords = (rule: Derived) => ruleText(rule, columns);
  const ofDates = rules.filter(({ rule }) => dateRules.has(rule.rule));
  const others = rules.filter(({ rule }) => !dateRules.has(rule.rule));
  const rows: [string, Content[]][] = [
    ["Names", renamed(declared)],
    [
      "Units",
      listed(
        declared.flatMap(({ table, heading, source }) => {
          if (typeof source === "string" || !("unit" in source) || !source.unit) return [];
          const unit = dictionaryColumn(table, source.column, columns)?.unit ?? "";
          return [
            `${shownHeading(heading)}, in ${source.unit}, to ${
              labelOf(source.column, table, columns)
            }${unit && ` in ${unit}`}${ofVisits(table)}`,
          ];
        }),
        "converted from another unit",
      ),
    ],
    [
      "Codes",
      listed(
        declared.flatMap(({ table, heading, source }) => {
          if (typeof source === "string" || !("codes" in source) || !source.codes) return [];
          const count = Object.keys(source.codes).length;
          return [
            `${shownHeading(heading)}, ${counted(count, "code")}, to ${
              labelOf(source.column, table, columns)
            }${ofVisits(table)}`,
          ];
        }),
        "read by a list of codes, which the study file holds",
      ),
    ],
    ["Missing values", missing(study, declared)],
    [
      "Intervals from dates",
      listed(ofDates.map(inWords), "worked out from dates, which were read and not kept"),
    ],
    ["Worked out from others", listed(others.map(inWords), "worked out by a rule")],
    [
      "Not read",
      listed(
        declared.flatMap(({ table, heading, source }) =>
          whyUnread(source) === null
            ? []
            : [`${shownHeading(heading)}${ofVisits(table)}: ${sentence(whyUnread(source) ?? "")}`]
        ),
        "left out; its values were not used",
        "left out; their values were not used",
      ),
    ],
    [
      "Taken for no identifiers",
      listed(
        waivers(study).map(({ table, column, kinds, why }) =>
          `${column}${ofVisits(table)}, whose values could be ${
            listText(kinds.map((kind) => identifierKinds[kind]))
          }: ${sentence(why)}`
        ),
        "that looks like identifiers was let through on the study file’s word",
        "that look like identifiers were let through on the study file’s word",
      ),
    ],
  ];
  return [
    h(
      "p",
      {},
      "What the study file says of the files’ columns; nothing else was renamed, converted or worked out.",
    ),
    h(
      "dl.protocol",
      {},
      rows.filter(([, content]) => content.length > 0).map(([term, content]) =>
        h("div", {}, h("dt", {}, term), h("dd", {}, content))
      ),
    ),
  ];
}

const dateRules: ReadonlySet<DerivedRule["rule"]> = new Set([
  "days-between",
  "years-between",
  "year-of",
  "place-by-date",
  "days-after-operation",
]);

function renamed(declared: readonly Declared[]): string[] {
  const counts = tables.flatMap((table) => {
    const count = declared.filter(({ table: of, heading, source }) => {
      const ours = typeof source === "string" ? source : "column" in source && source.column;
      return of === table && ours && ours !== heading;
    }).length;
    return count > 0 ? [`${counted(count, "column")} of the ${table} table`] : [];
  });
  return counts.length === 0 ? [] : [`Renamed to those of the dictionary: ${listText(counts)}.`];
}

function missing({ mapping }: Study, declared: readonly Declared[]): Content[] {
  const everywhere = mapping.missing.length === 0
    ? []
    : [`In every column: ${listText(mapping.missing.map(codeText))}. `];
  const own = declared.flatMap(({ table, heading, source }) =>
    typeof source === "string" || !("missing" in source) || !source.missing?.length
      ? []
      : [`${shownHeading(heading)}${ofVisits(table)}: ${listText(source.missing.map(codeText))}`]
  );
  return [...everywhere, ...listed(own, "with a code of its own", "with codes of their own")];
}

/** A rule in words, its column first. */
function ruleText({ table, rule }: Derived, columns: Study["columns"]): string {
  const from = sourcesOf(rule).map(shownHeading);
  const [first = "", ...rest] = from;
  const how = {
    "days-between": () =>
      `days from ${first} to ${rest.length > 1 ? "the first filled of " : ""}${listText(rest)}`,
    "years-between": () => `years from ${first} to ${listText(rest)}`,
    "year-of": () => `the year of ${first}`,
    "place-by-date": () => `the place in the order of ${first}`,
    "first-of": () => `the first filled of ${listText(from)}`,
    filled: () => `yes where ${listText(from)} ${from.length > 1 ? "have" : "has"} a value`,
    "any-of": () => `yes where any of ${listText(from)} is`,
    "count-of": () => `how many of ${listText(from)} are yes`,
    "set-of": () => `those of ${listText(from)} that are yes`,
    "body-surface": () => {
      const du = rule.rule === "body-surface" && rule.formula === "du-bois";
      return `from ${listText(from)}, by ${du ? "Du Bois’s" : "Mosteller’s"} formula`;
    },
    "filtration-rate": () => `from ${first}, age and sex, by the CKD-EPI equation of 2021`,
    "words-of": () => `by the words of ${first}`,
    "number-after": () => `a number in the text of ${first}`,
    "days-after-operation": () => `days from the operation to ${first}`,
    constant: () => "the same for everybody",
  }[rule.rule]();
  const order = "order" in rule ? `; dates read ${rule.order.replace("-", " ")}` : "";
  const why = rule.rule === "constant" ? `, because: ${rule.why}` : "";
  return `${labelOf(rule.column, table, columns)}${ofVisits(table)}: ${how}${order}${why}`;
}

/** A count and its list; nothing where there is none. */
function listed(lines: readonly string[], one: string, many = one): (string | Element)[] {
  if (lines.length === 0) return [];
  return [
    `${counted(lines.length, "column")} ${lines.length === 1 ? one : many}.`,
    h(
      "ul",
      { class: lines.length > 8 && "columns" },
      lines.map((line) => h("li", {}, line)),
    ),
  ];
}

function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? "" : "s"}`;
}

function codeText(code: string | number): string {
  const text = shownText(String(code));
  return text === null ? "a code that is not shown" : `“${text}”`;
}

function ofVisits(table: TableName): string {
  return table === "visits" ? " (visits)" : "";
}
