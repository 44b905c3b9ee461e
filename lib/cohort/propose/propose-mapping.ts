import type { Unit } from "../../study/mapping/mod.ts";
import type { ColumnProfile } from "./column-profile.ts";
import { factorFrom, unitsFor } from "../cells/mod.ts";
import { dictionary, type DictionaryColumn, type TableName } from "../dictionary/mod.ts";
import { identifierOfHeading } from "../identifiers/mod.ts";
import { nameSimilarity } from "./name-similarity.ts";
import { otherNames } from "./other-names.ts";
import { codeSynonyms, columnSynonyms, gradeSynonyms, missingSynonyms } from "./synonyms.ts";

/** What one column of an unknown file may be: to be confirmed by a person, never applied unseen. */
export interface ProposedColumn {
  heading: string;
  column: string;
  unit?: Unit;
  codes?: Record<string, string | number>;
  missing?: string[];
  /** From 0 to 1: how well name and values agree. */
  confidence: number;
  reasons: string[];
}

/** What a file's columns may be, and what is left over on either side. */
export interface MappingProposal {
  table: TableName;
  proposed: ProposedColumn[];
  /** Headings for which nothing was found, and why, where it can be said. */
  unmatched: { heading: string; note: string }[];
  /** Columns of the dictionary that must be there and were not found. */
  absent: string[];
}

const leastSimilarity = 0.62;

/**
 * Proposes what each column of a file is in the dictionary: by its name, and by whether its values
 * agree with the column's range, in one of the units that can be converted, or with its codes.
 *
 * Each column of the dictionary is given to one column of the file, the closest first. Only values
 * that are common words or numbers for the codes are part of a proposal: any other value could
 * identify somebody, and is counted.
 */
export function proposeMapping(
  table: TableName,
  profiles: readonly ColumnProfile[],
): MappingProposal {
  const candidates = profiles.flatMap((profile) =>
    dictionary[table].map((column) => {
      const similarity = Math.max(
        nameSimilarity(profile.heading, column.name),
        0.98 * nameSimilarity(profile.heading, column.label),
        ...[column.name, ...otherNamesOf(column.name)].flatMap((name) => [
          0.95 * nameSimilarity(profile.heading, name),
          // without the name of its group, and without what stands in brackets
          0.9 * nameSimilarity(profile.heading.replace(/^.*?: /, ""), name),
          0.9 * nameSimilarity(profile.heading.replace(/\s*[([].*?[)\]]/g, ""), name),
        ]),
      );
      return { profile, column, similarity };
    })
  ).filter(({ similarity, profile }) =>
    similarity >= leastSimilarity && !announcesIdentifier(profile.heading, table)
  ).map((candidate) => ({ ...candidate, fit: fitOf(candidate.profile, candidate.column) }));
  candidates.sort((a, b) =>
    b.similarity * b.fit.agreement - a.similarity * a.fit.agreement ||
    a.profile.position - b.profile.position
  );
  const taken = new Set<string>();
  const placed = new Map<number, ProposedColumn>();
  for (const { profile, column, similarity, fit } of candidates) {
    if (taken.has(column.name) || placed.has(profile.position)) continue;
    taken.add(column.name);
    const { agreement, reasons, ...rest } = fit;
    placed.set(profile.position, {
      heading: profile.heading,
      column: column.name,
      ...rest,
      confidence: Math.round(100 * similarity * agreement) / 100,
      reasons: [nameReason(profile.heading, column, similarity), ...reasons],
    });
  }
  const proposed = profiles.flatMap(({ position }) => placed.get(position) ?? []);
  const unmatched = profiles.filter(({ position }) => !placed.has(position))
    .map((profile) => ({ heading: profile.heading, note: noteOf(profile, table) }));
  const absent = dictionary[table]
    .filter(({ name, requirement }) => requirement === "required" && !taken.has(name))
    .map(({ name }) => name);
  return { table, proposed, unmatched, absent };
}

/** Other names of a column, in English and in other languages. */
export function otherNamesOf(column: string): string[] {
  return [...columnSynonyms[column] ?? [], ...otherNames[column] ?? []];
}

type Fit = Pick<ProposedColumn, "unit" | "codes" | "missing" | "reasons"> & { agreement: number };

function fitOf(profile: ColumnProfile, column: DictionaryColumn): Fit {
  if (profile.filled === 0) return { agreement: 0.6, reasons: ["the column is empty"] };
  if (profile.dates > 0.5 * profile.filled) {
    return { agreement: 0.1, reasons: ["holds dates: work an interval out by a rule instead"] };
  }
  if (column.type === "identifier" || column.type === "code") {
    return { agreement: 0.9, reasons: [] };
  }
  if (column.categories) return codeFit(profile, column);
  return numberFit(profile, column);
}

function numberFit(profile: ColumnProfile, column: DictionaryColumn): Fit {
  const missing = [...profile.values.keys()].filter((value) => {
    const number = Number(value);
    const { min = -Infinity, max = Infinity } = column.hard ?? {};
    return isMissing(value) && !(number >= min && number <= max);
  });
  const codes = new Set(missing.map(Number));
  const numbers = profile.sample.filter((value) => !codes.has(value));
  const coded = missing.reduce((sum, value) => sum + (profile.values.get(value) ?? 0), 0);
  const numeric = (profile.numbers + coded) / profile.filled;
  if (numeric < 0.9 && column.type === "ordinal") {
    const graded = gradeFit(profile, column);
    if (graded) return graded;
  }
  if (numbers.length === 0 || numeric < 0.5) {
    return { agreement: 0.2, reasons: ["its values are not numbers"] };
  }
  const own = unitsFor(column)[0];
  const named = unitInHeading(profile.heading);
  let best: { unit?: Unit; share: number } = { share: shareIn(numbers, 1, column) };
  const largest = numbers[numbers.length - 1] ?? 0;
  if (!named && own === "percent" && largest <= 1 && numbers.some((value) => value % 1 !== 0)) {
    // 0.03 is a percentage, too, but a whole column below 1 is hardly one
    best = { unit: "fraction", share: shareIn(numbers, 100, column) };
  } else if (named && named !== own && unitsFor(column).includes(named)) {
    // a unit that the heading states comes before one that the values suggest
    best = { unit: named, share: shareIn(numbers, factorFrom(named, column) ?? 1, column) };
  } else {for (const unit of unitsFor(column)) {
      const factor = factorFrom(unit, column) ?? 1;
      const share = shareIn(numbers, factor, column);
      // another unit must agree clearly better than the dictionary's own
      if (unit !== own && share > best.share + 0.2) best = { unit, share };
    }}
  const percent = Math.round(100 * best.share);
  const reasons = [
    `${percent}% of its numbers are in range` + (best.unit ? ` if they are in ${best.unit}` : ""),
    ...(best.unit && best.unit === named ? ["its name states the unit"] : []),
    ...(missing.length > 0 ? [`${missing.join(", ")} stand for missing values`] : []),
  ];
  // any number of months or years is a number of days as well
  const timed = own === "days" && !named;
  if (timed) reasons.push("days, weeks, months or years: nothing but its name could tell, ask");
  const agreement = best.share * Math.min(1, numeric) *
    (timed ? 0.6 : best.unit && best.unit !== named ? 0.85 : 1);
  return {
    ...(best.unit ? { unit: best.unit } : {}),
    ...(missing.length > 0 ? { missing } : {}),
    agreement,
    reasons,
  };
}

/** A grade or class in words, where most of the column is. */
function gradeFit(profile: ColumnProfile, column: DictionaryColumn): Fit | null {
  const grades = gradeSynonyms[column.unit === "grade" ? "grade" : "class"] ?? {};
  const codes: Record<string, number> = {};
  const missing: string[] = [];
  let good = 0;
  for (const [value, count] of profile.values) {
    const grade = Object.hasOwn(grades, value.toLowerCase())
      ? grades[value.toLowerCase()]
      : undefined;
    if (grade !== undefined) codes[value] = grade;
    else if (isMissing(value)) missing.push(value);
    else if (!/^[0-4]$/.test(value)) continue;
    good += count;
  }
  const share = good / profile.filled;
  if (Object.keys(codes).length === 0 || share < 0.5) return null;
  return {
    codes,
    ...(missing.length > 0 ? { missing } : {}),
    agreement: 0.3 + 0.65 * share,
    reasons: [`${Math.round(100 * share)}% of its values are words for a grade or class`],
  };
}

/** Share of numbers that the dictionary allows, improbable ones counted half. */
function shareIn(numbers: Float64Array, factor: number, column: DictionaryColumn): number {
  const { min = -Infinity, max = Infinity } = column.hard ?? {};
  const whole = column.type === "ordinal" && factor === 1;
  let good = 0;
  for (const number of numbers) {
    const value = number * factor;
    if (value < min || value > max || (whole && value % 1 !== 0)) continue;
    good += value > (column.soft?.max ?? Infinity) || value < (column.soft?.min ?? -Infinity)
      ? 0.5
      : 1;
  }
  return good / numbers.length;
}

function codeFit(profile: ColumnProfile, column: DictionaryColumn): Fit {
  const codes: Record<string, string | number> = Object.create(null);
  const missing: string[] = [];
  let good = 0;
  let unknown = 0;
  for (const [value, count] of profile.values) {
    const code = codeFor(value, column);
    if (code !== null) {
      good += count;
      if (value !== code) codes[value] = column.type === "binary" ? Number(code) : code;
    } else if (isMissing(value)) {
      good += count;
      missing.push(value);
    } else unknown++;
  }
  const agreement = profile.many ? 0.3 : 0.3 + 0.7 * good / profile.filled;
  return {
    ...(Object.keys(codes).length > 0 ? { codes: { ...codes } } : {}),
    ...(missing.length > 0 ? { missing } : {}),
    agreement,
    reasons: [
      `${Math.round(100 * good / profile.filled)}% of its values are known codes`,
      ...(unknown > 0 || profile.many
        ? [`${profile.many ? "many" : unknown} other values, not shown, need a code`]
        : []),
    ],
  };
}

/** Whether a value is a common word for a missing one. */
export function isMissing(value: string): boolean {
  return missingSynonyms.includes(value.toLowerCase());
}

/** The code of the dictionary that a value is, by its own or a common way to write it. */
export function codeFor(written: string, column: DictionaryColumn): string | null {
  const value = written.toLowerCase();
  if (column.categories?.some(({ code }) => code === written)) return written;
  if (column.type === "set" && written.includes(";")) {
    const parts = written.split(";").map((part) => codeFor(part.trim(), column));
    return parts.includes(null) ? null : parts.join(";");
  }
  for (const { code, label } of column.categories ?? []) {
    if (value === code.toLowerCase() || value === label.toLowerCase()) return code;
  }
  for (const { code } of column.categories ?? []) {
    if (codeSynonyms[code]?.includes(value)) return code;
  }
  return null;
}

const unitWords: [RegExp, Unit][] = [
  [/\bmm(2|²|\^2)/, "mm2"],
  [/\bcm(2|²|\^2)/, "cm2"],
  [/\bmm\b/, "mm"],
  [/\bcm\b/, "cm"],
  [/%|\b(pct|percent)\b/, "percent"],
  // an ejection fraction is not so written
  [/(?<!\b(ejection|regurgitant|shortening) )\bfraction\b/, "fraction"],
  [/\b(days?|tage?n?|jours?|d[ií]as?|giorni|dagen)\b/, "days"],
  [/\b(weeks?|wks?|wochen|semaines?|semanas?|settimane|weken)\b/, "weeks"],
  [/\b(months?|mths?|mo|monate?n?|mois|meses|mesi|maanden)\b/, "months"],
  [/\b(years?|yrs?|jahre?n?|ans|années|años|anni|jaren)\b/, "years"],
  [/\b(hours?|hrs?)\b/, "hours"],
  [/\b(minutes?|mins?)\b/, "minutes"],
  [/\bkpa\b/, "kPa"],
  [/\bmmhg\b/, "mmHg"],
];

/** The unit that a heading states, if any. */
export function unitInHeading(heading: string): Unit | null {
  const text = heading.toLowerCase().replace(/_/g, " ");
  return unitWords.find(([pattern]) => pattern.test(text))?.[1] ?? null;
}

function announcesIdentifier(heading: string, table: TableName): boolean {
  if (dictionary[table].some(({ name }) => name === heading)) return false;
  const kind = identifierOfHeading(heading);
  return kind !== null && kind !== "record-number" && kind !== "age";
}

function nameReason(heading: string, column: DictionaryColumn, similarity: number): string {
  if (heading === column.name) return "has the dictionary's name";
  return similarity > 0.9
    ? `its name means ${column.label.toLowerCase()}`
    : `its name is like ${column.label.toLowerCase()}`;
}

function noteOf(profile: ColumnProfile, table: TableName): string {
  if (announcesIdentifier(profile.heading, table)) return "may identify somebody: remove it";
  if (profile.dates > 0.5 * profile.filled) return "dates: use them in a rule of mapping.derived";
  return "like nothing in the dictionary: map it, or ignore it and say why";
}
