import { isSmall } from "../../lib/disclosure/small-counts.ts";
import type { TableColumn } from "../../lib/report/items/mod.ts";
import { sentencesOf } from "../../lib/report/reading/mod.ts";
import { whatIsLearnt } from "../../lib/report/seal/mod.ts";
import { kindOf } from "../../lib/report/show/table.ts";
import { characteristicsLeaks } from "./characteristics-leaks.ts";
import { type Published, readPublished } from "./published.ts";
import { partsOfWholes, risksBeside } from "./two-numbers.ts";
import type { Table } from "./audit-parts.ts";

/**
 * Reads a report as one would who wants to know of the few: every count, share, sentence and number
 * under an axis, and what follows from two of them together.
 *
 * Numbers are known by what they mean, as far as a program can: what is protected, and what a curve
 * tells in any case, is in DEVELOPERS.md.
 *
 * @returns One line a leak.
 */
export function audit(published: Published): string[] {
  return [
    ...smallCounts(published),
    ...longShares(published),
    ...longNumbers(published),
    ...sharesOfCounts(published),
    ...sentences(published),
    ...risksBeside(published),
    ...partsOfWholes(published),
    ...characteristicsLeaks(published),
    ...solved(published),
  ];
}

/** Counts that can be worked out of all tables, drawings and sentences together. */
export function solved(
  { tables, findings, drawings, sentences, groups, within, smallestCell }: Published,
): string[] {
  const figures = drawings.map(({ id, svg }) => ({
    kind: "figure" as const,
    id,
    title: id,
    caption: "",
    alt: id,
    svg,
  }));
  const said = sentences.flatMap(({ where, text }, k) =>
    sentencesOf(text).map((sentence, at) => ({ text: sentence, of: `${where} ${k}`, at }))
  );
  const { counts } = whatIsLearnt(
    { tables, figures, findings, said },
    { groups, smallestCell, within },
  );
  return counts.filter(({ pinned }) => pinned)
    .map(({ count, possible }) => `worked out: ${count} is ${possible.join(" or ")}`);
}

const countLabel =
  /patients|pairs|visits|events|excluded|missing|used|not known|at risk|followed|recurrences|observed|converted|not recorded|died|matched|everyone|only|last seen|final|^re(pair|placement)/i;

function countColumns(table: Table): TableColumn[] {
  return table.columns.filter((column) =>
    kindOf(table, column) === "number" && column.unit === undefined &&
    column.digits === undefined && countLabel.test(column.label)
  );
}

/** Counts in tables, as numbers or as "12 (34%)", that are small. */
function smallCounts({ tables, smallestCell }: Published): string[] {
  return tables.flatMap((table) => {
    const counts = countColumns(table);
    return table.rows.flatMap((row, i) =>
      table.columns.flatMap(({ key }) => {
        const value = row[key];
        const count = typeof value === "string"
          ? Number(/^(\d+) \(\d+%\)$/.exec(value)?.[1])
          : counts.some((column) => column.key === key)
          ? value
          : NaN;
        return isSmall(count ?? NaN, smallestCell)
          ? [`${table.id}, row ${i + 1}, ${key}: ${count} is small`]
          : [];
      })
    );
  });
}

/**
 * Numbers in words with more decimals than anybody reads: somebody's own value to the last figure.
 */
function longNumbers({ sentences, drawings }: Published): string[] {
  const texts = [
    ...sentences,
    ...drawings.map(({ id, svg }) => ({
      where: `figure ${id}`,
      text: [...svg.matchAll(/(?:aria-label="|<(?:title|desc|text)\b[^>]*>)([^"<]*)/g)]
        .map(([, text]) => text).join(" "),
    })),
  ];
  return texts.flatMap(({ where, text }) =>
    [...text.matchAll(/\d+\.\d{5,}/g)].map(([number]) => `${where}: ${number} is not rounded`)
  );
}

/** Shares with more digits than they are printed with, and numbers that times a count are few. */
function longShares({ tables, findings, smallestCell }: Published): string[] {
  const leaks: string[] = [];
  const wholes = new Set(
    tables.flatMap((table) =>
      countColumns(table).flatMap(({ key }) => table.rows.map((row) => row[key]))
    ).filter((count): count is number => Number.isInteger(count) && Number(count) >= smallestCell),
  );
  const isLong = (value: number, tenths: number) =>
    Math.abs(value * tenths - Math.round(value * tenths)) > 1e-6;
  for (const table of tables) {
    const perHundred = table.columns.some(({ unit }) => unit === "per 100");
    for (const column of table.columns) {
      const { key } = column;
      const kind = kindOf(table, column);
      for (const [i, row] of table.rows.entries()) {
        const value = row[key];
        if (typeof value !== "number" || kind === "pvalue") continue;
        const where = `${table.id}, row ${i + 1}, ${key}: ${value}`;
        const ofHundred = perHundred && ["estimate", "lower", "upper"].includes(key);
        if (kind === "percent" ? isLong(value, 1000) : ofHundred && isLong(value, 10)) {
          leaks.push(`${where} has more digits than a share is printed with`);
        }
        // a ratio of hazards with its limits tells of the events in any case
        // nor is a distance between scores a share of anybody
        if (!isLong(value, 1000) || /ratio|distance/i.test(column.label)) continue;
        for (const whole of wholes) {
          const part = Math.round(value * whole);
          const exact = Math.abs(value * whole - part) < 1e-6 && part < whole;
          if (exact && (isSmall(part, smallestCell) || isSmall(whole - part, smallestCell))) {
            leaks.push(`${where} is ${part} of ${whole}`);
          }
        }
      }
    }
  }
  for (const { id, groups } of findings) {
    for (const { estimate } of groups) {
      if (isLong(estimate, 1000)) leaks.push(`finding ${id}: ${estimate} is not rounded`);
    }
  }
  return leaks;
}

/** Raw shares with what they are shares of: a column of the row, or the size of a group. */
const shares: Record<string, { share: string; of: string }[]> = {
  procedures: [{ share: "share", of: "total" }],
  "warning-marks": [{ share: "low", of: "n" }],
  "echo-schedule": [{ share: "symptoms", of: "visits" }],
  "grades-table": [{ share: "notLooked", of: "followed" }],
  "missing-values": [
    { share: "repairShare", of: "group 0" },
    { share: "replacementShare", of: "group 1" },
  ],
  "early-events": [
    { share: "repairShare", of: "group 0" },
    { share: "replacementShare", of: "group 1" },
  ],
};

/** Shares that, with their denominator, leave only a small count possible. */
function sharesOfCounts(published: Published): string[] {
  const { tables, smallestCell } = published;
  return tables.flatMap((table) =>
    (shares[table.id] ?? []).flatMap(({ share, of }) =>
      table.rows.flatMap((row, i) => {
        const place = /^group (\d)/.exec(of)?.[1];
        const whole = place === undefined ? row[of] : groupSizes(published)[Number(place)];
        const value = row[share];
        if (typeof whole !== "number" || typeof value !== "number") return [];
        const fits = Array.from({ length: whole + 1 }, (_, part) => part)
          .filter((part) => Math.round(1000 * part / whole) / 1000 === value);
        const telling = fits.length > 0 &&
          fits.every((part) => isSmall(part, smallestCell) || isSmall(whole - part, smallestCell));
        return telling
          ? [`${table.id}, row ${i + 1}, ${share}: ${value} of ${whole} is ${fits}`]
          : [];
      })
    )
  );
}

/** Patients of either group, repair first. */
export function groupSizes({ tables }: Pick<Published, "tables">): number[] {
  const rows = tables.find(({ id }) => id === "completeness")?.rows ?? [];
  return rows.map(({ patients }) => Number(patients));
}

/**
 * Sentences whose numbers are not parts of each other: two groups, two matchings, kinds that do not
 * overlap, coefficients, visits, characteristics.
 */
const notParts =
  /were analysed:|follow-up ended:|having been scanned:|a year after:|patients are worth|of 100 patients each|Without a partner|coefficients, and|Greedy matching|visits|characteristics|ifferences? above|standardised/i;

/**
 * Medians with quartiles, the number of a figure, counts of what is no person, and shares of 100.
 */
const noPeople =
  /Of 100 [^.]*\.|[\d.]+ \([\d.]+ to [\d.]+\)|^Figure \d+|(\d+ of )?\d+ (completed )?(sets|columns|paths)\b/g;

/** Small counts of people in sentences, and two counts in one that differ by so few. */
function sentences({ sentences, smallestCell }: Published): string[] {
  return sentences.flatMap(({ where, text }) => {
    const bare = text.replace(
      /(fewer than|more than|below|first|per|day|of 100|From) \d[\d,]*/gi,
      "",
    ).replace(noPeople, "");
    const said = `${where}: "${text.slice(0, 160)}"`;
    const people =
      /(?<![\d.,])(\d+) (?:\w+ ){0,2}(?:patients|pairs|died|were|had|deaths|repairs|replacements)/g;
    const few = [...bare.matchAll(people)].some((match) => isSmall(Number(match[1]), smallestCell));
    if (few) return [`${said} tells of few`];
    if (notParts.test(text)) return [];
    const numbers = [
      ...bare.matchAll(/(?<![\d.,])\d{1,3}(?:,\d{3})*(?![\d.,]*\d|%| (?:years|months|mm|y\b))/g),
    ]
      .map(([digits]) => Number(digits.replaceAll(",", "")))
      .filter((number) => number >= smallestCell);
    return numbers.some((a) => numbers.some((b) => isSmall(a - b, smallestCell)))
      ? [`${said} holds two numbers that differ by few`]
      : [];
  });
}

if (import.meta.main) {
  for (const folder of Deno.args) {
    const leaks = audit(readPublished(folder));
    console.log(`${folder}: ${leaks.length} leaks\n${leaks.join("\n")}`);
  }
}
