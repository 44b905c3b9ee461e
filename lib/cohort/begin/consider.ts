import type { Unit } from "../../study/mapping/mod.ts";
import { factorFrom, numberOf, plainWords, unitsFor, wordFinder } from "../cells/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  tableColumns,
} from "../dictionary/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import { type IdentifierKind, identifierOfHeading } from "../identifiers/mod.ts";
import {
  codeFor,
  type ColumnProfile,
  isMissing,
  nameSimilarity,
  otherNamesOf,
  type ProposedColumn,
  proposeMapping,
  unitInHeading,
} from "../propose/mod.ts";
import { oddGrade } from "./odd-values.ts";
import { procedureWords } from "./procedure-words.ts";
import { ambiguousNames, type SourceKind, sourceKinds, sourceNames } from "./source-names.ts";

/** What becomes of a heading. */
export type Decision =
  | {
    as: "column";
    /** The first through the mapping, others by a rule that reads the same column. */
    columns: string[];
    unit?: Unit;
    codes?: Record<string, string | number>;
    missing?: string[];
    /** Codes of the columns after the first, where they have their own. */
    otherCodes?: Record<string, Record<string, string | number>>;
  }
  | { as: "source"; source: SourceKind }
  | { as: "ignore"; why: string }
  | { as: "open"; why: string };

/** A heading with what it may be. */
export interface Considered {
  profile: ColumnProfile;
  /** `null` where it is like nothing known. */
  decision: Decision | null;
  confidence: number;
  reasons: string[];
  /** Whether it may be taken without being asked about. */
  sure: boolean;
  /** Whether the name is beyond doubt, and only what its values mean must be asked. */
  valuesOnly?: boolean;
}

// Medians that adults with mitral regurgitation have. Common practice, no source.
const typicalMedians: Record<string, [number, number]> = {
  age: [45, 80],
  bsa: [1.5, 2.3],
  egfr: [45, 110],
  risk_pct: [0.5, 12],
  eroa: [0.15, 0.8],
  rvol: [25, 110],
  rf: [25, 75],
  vc: [0.3, 1.2],
  lvef: [30, 72],
  lvedd: [42, 72],
  lvesd: [25, 58],
  tether: [3.5, 18],
  ipmd: [12, 40],
  pasp: [22, 65],
  cpb: [50, 250],
  clamp: [35, 200],
  gradient: [1.5, 8],
  grad_exit: [1.5, 8],
  los: [4, 30],
  fu_days: [200, 6000],
  day: [20, 4000],
  ring_mm: [26, 38],
  op_year: [1995, 2035],
  cad_vessels: [0, 3],
  cabg_grafts: [0, 4],
};
const sourceMedians: Partial<Record<SourceKind, [number, number][]>> = {
  creatinine: [[0.6, 2.5], [50, 220]],
  height: [[150, 190], [1.5, 1.9]],
  weight: [[50, 110]],
};
// what a heading says of a person that no analysis reads
const left: ReadonlySet<IdentifierKind | null> = new Set([
  "name",
  "place",
  "email",
  "telephone",
  "fax",
  "social-security",
  "plan-number",
  "account-number",
]);

/**
 * Considers every heading of a table: what it may be, why, and whether that is beyond doubt.
 *
 * Beyond doubt is a heading that is a known name of one column and of no other, beside no heading
 * that could be the same, whose values are all of the column's kind, in its range, of a median that
 * patients have, in a unit that is stated or the only possible one, and whose codes are all known.
 */
export function considerHeadings(
  table: TableName,
  profiles: readonly ColumnProfile[],
): Considered[] {
  const proposals = new Map(
    proposeMapping(table, profiles).proposed.map((one) => [one.heading, one]),
  );
  return profiles.map((profile): Considered => {
    const { heading } = profile;
    const nothing = { profile, reasons: [], confidence: 0, sure: false };
    if (profile.filled === 0) {
      const why = "the column is empty";
      return {
        ...nothing,
        decision: { as: "ignore", why },
        reasons: [why],
        confidence: 1,
        sure: true,
      };
    }
    const kind = identifierOfHeading(heading);
    if (left.has(kind) && !isDictionaryName(table, heading)) {
      const why = "its heading says that it identifies people";
      return {
        ...nothing,
        decision: { as: "ignore", why },
        reasons: [why],
        confidence: 1,
        sure: true,
      };
    }
    const source = sourceOf(table, profile, profiles);
    if (source) return { ...nothing, ...source };
    const proposed = proposals.get(heading);
    if (!proposed) return { ...nothing, decision: null };
    return considered(table, profile, proposed, profiles);
  });
}

function considered(
  table: TableName,
  profile: ColumnProfile,
  proposed: ProposedColumn,
  profiles: readonly ColumnProfile[],
): Considered {
  const { column: name, unit, codes, missing, confidence, reasons } = proposed;
  const column = dictionaryColumn(table, name)!;
  // what intended and final tell apart, one column of procedures tells of both
  const columns = name === "final" &&
      !profiles.some((other) =>
        other !== profile && similarityTo(other.heading, table, "intended") >= 0.62
      )
    ? ["intended", "final"]
    : [name];
  const named = [
    ...nameDoubts(table, profile, name, profiles),
    ...(columns.length > 1 ? ["fills two columns"] : []),
  ];
  const valued = valueDoubts(profile, column, unit);
  const doubts = [...named, ...valued];
  return {
    profile,
    decision: {
      as: "column",
      columns,
      ...(unit && { unit }),
      ...(codes && { codes }),
      ...(missing && { missing }),
    },
    confidence,
    reasons: [...reasons, ...doubts.map((doubt) => `doubtful: ${doubt}`)],
    sure: doubts.length === 0,
    valuesOnly: named.length === 0 && valued.length > 0 && sayValues(profile, column),
  };
}

/** Whether the values of a column are such as can be asked about one by one: codes, grades, "55 %". */
function sayValues(profile: ColumnProfile, column: DictionaryColumn): boolean {
  if (profile.many || profile.dates > 0) return false;
  if (column.categories) return true;
  const values = [...profile.values.keys()].filter((value) => !isMissing(value));
  if (column.type === "ordinal") {
    return values.every((value) => oddGrade(value, { most: 4, fractions: false }) !== null);
  }
  return column.unit === "%" && values.every((value) => /^\d+([.,]\d+)?\s*%$/.test(value));
}

function nameDoubts(
  table: TableName,
  profile: ColumnProfile,
  name: string,
  profiles: readonly ColumnProfile[],
): string[] {
  const { heading } = profile;
  const doubts: string[] = [];
  if (heading !== name) {
    if (similarityTo(heading, table, name) < 1) doubts.push("its name is only like it");
    if (isAmbiguous(heading)) doubts.push("several things go by this name");
  }
  const rivals = profiles.filter((other) =>
    other !== profile && other.dates <= 0.5 * other.filled &&
    similarityTo(other.heading, table, name) >= 0.62 && !isOther(other.heading, table, name)
  );
  if (rivals.length > 0) {
    doubts.push(`so may be ${rivals.map((rival) => `“${rival.heading}”`).join(", ")}`);
  }
  return doubts;
}

/** Whether a heading is the very name of another column than this one. */
function isOther(heading: string, table: TableName, name: string): boolean {
  return tableColumns(table).some((column) => column.name !== name && column.name === heading) ||
    (similarityTo(heading, table, name) < 1 &&
      tableColumns(table).some((column) =>
        column.name !== name && similarityTo(heading, table, column.name) === 1
      ));
}

function isAmbiguous(heading: string): boolean {
  return [...ambiguousNames].some((name) => nameSimilarity(heading, name) === 1);
}

function isDictionaryName(table: TableName, heading: string): boolean {
  return dictionaryColumn(table, heading) !== undefined;
}

/** How alike a heading is to the names of a column: 1 where it is one of them. */
export function similarityTo(heading: string, table: TableName, name: string): number {
  const column = dictionaryColumn(table, name);
  return Math.max(
    ...[name, column?.label ?? name, ...otherNamesOf(name)].map((one) =>
      nameSimilarity(heading, one)
    ),
  );
}

function valueDoubts(
  profile: ColumnProfile,
  column: DictionaryColumn,
  unit: Unit | undefined,
): string[] {
  if (profile.dates > 0.5 * profile.filled) return ["its values are dates"];
  if (column.type === "identifier" || column.type === "code") return [];
  if (column.categories) return codeDoubts(profile, column);
  if (!isNumeric(column)) return [];
  return numberDoubts(profile, column, unit);
}

function codeDoubts(profile: ColumnProfile, column: DictionaryColumn): string[] {
  const values = [...profile.values.keys()].filter((value) => !isMissing(value));
  const unknown = values.filter((value) => codeFor(value, column) === null);
  if (unknown.length > 0) return [`${unknown.length} of its values are no known code`];
  const letters = values.filter((value) => /^[a-z]$/i.test(value) && !/^[ynjfmw]$/i.test(value));
  if (letters.length > 0) return ["single letters can mean anything"];
  return column.type === "binary" || values.length > 1 ? [] : ["it has but one value"];
}

function numberDoubts(
  profile: ColumnProfile,
  column: DictionaryColumn,
  unit: Unit | undefined,
): string[] {
  const coded = [...profile.values].filter(([value]) => isMissing(value));
  const words = coded.filter(([value]) => Number.isNaN(numberOf(value, 46)))
    .reduce((sum, [, count]) => sum + count, 0);
  if (profile.numbers + words < profile.filled) return ["some of its values are no numbers"];
  const { min = -Infinity, max = Infinity } = column.hard ?? {};
  const factor = unit ? factorFrom(unit, column) ?? 1 : 1;
  const missing = new Set(coded.map(([value]) => Number(value)));
  const numbers = profile.sample.filter((value) =>
    !(missing.has(value) && (value * factor < min || value * factor > max))
  );
  const outside = numbers.filter((value) => value * factor < min || value * factor > max).length;
  if (outside > 0.01 * numbers.length) return [`${outside} of its numbers are out of range`];
  if (column.type === "ordinal") {
    return numbers.some((value) => value % 1 !== 0) ? ["grades are whole numbers"] : [];
  }
  const own = unitsFor(column)[0];
  const stated = unitInHeading(profile.heading);
  const median = (numbers[numbers.length >> 1] ?? NaN) * factor;
  const typical = typicalMedians[column.name];
  if (typical && !(median >= typical[0] && median <= typical[1])) {
    return ["its median is not one that patients have"];
  }
  if (own === undefined || stated === (unit ?? own)) return [];
  if (own === "days") return ["its unit is not stated"];
  const others = unitsFor(column).filter((other) => {
    const times = (factorFrom(other, column) ?? 1) / factor;
    return other !== (unit ?? own) && typical && median * times >= typical[0] &&
      median * times <= typical[1];
  });
  if (!typical || others.length > 0) return ["it could be in another unit"];
  return unit && unit !== stated ? ["its unit is not stated"] : [];
}

/** What a column is worked out from, where the heading and values say so. */
function sourceOf(
  table: TableName,
  profile: ColumnProfile,
  profiles: readonly ColumnProfile[],
): Pick<Considered, "decision" | "confidence" | "reasons" | "sure"> | null {
  const dates = profile.dates > 0.5 * profile.filled;
  if (!dates && isProcedureText(profile)) {
    return {
      decision: { as: "source", source: "text" },
      confidence: 0.7,
      reasons: ["its texts have words for procedures in them"],
      sure: false,
    };
  }
  let best: { source: SourceKind; similarity: number } | null = null;
  for (const source of Object.keys(sourceKinds) as SourceKind[]) {
    const measured = sourceMedians[source] !== undefined;
    if (source === "text" || measured === dates) continue;
    if ((source === "visit") !== (table === "visits")) continue;
    // without the name of its group a heading is only like it
    const bare = profile.heading.replace(/^.*?: /, "");
    const similarity = Math.max(
      ...sourceNames[source].map((name) =>
        Math.max(nameSimilarity(profile.heading, name), 0.95 * nameSimilarity(bare, name))
      ),
    );
    if (similarity >= (dates ? 0.6 : 0.8) && similarity > (best?.similarity ?? 0)) {
      best = { source, similarity };
    }
  }
  if (!best) {
    return dates
      ? { decision: null, confidence: 0, reasons: ["its values are dates"], sure: false }
      : null;
  }
  const { source, similarity } = best;
  const medians = sourceMedians[source];
  const median = profile.sample[profile.sample.length >> 1] ?? NaN;
  const fits = medians
    ? profile.numbers === profile.filled &&
      medians.some(([low, high]) => median >= low && median <= high)
    : profile.dates === profile.filled;
  if (medians && !fits) return null;
  const rivals = profiles.filter((other) =>
    other !== profile &&
    sourceNames[source].some((name) => nameSimilarity(other.heading, name) >= 0.62)
  );
  return {
    decision: { as: "source", source },
    confidence: Math.round(100 * similarity * (fits ? 1 : 0.6)) / 100,
    reasons: [
      `its name is ${similarity === 1 ? "a name of" : "like"} the ${sourceKinds[source]}`,
      ...(fits ? [] : ["some of its values are no dates"]),
      ...(rivals.length > 0 ? ["another heading could be it as well"] : []),
    ],
    sure: similarity === 1 && fits && rivals.length === 0 &&
      (profiles.length > 0 && !ambiguousFor(profile.heading, source)),
  };
}

function ambiguousFor(heading: string, source: SourceKind): boolean {
  return isAmbiguous(heading) && source !== "visit";
}

/** Whether a column of many texts has words for mitral procedures in most of them. */
function isProcedureText(profile: ColumnProfile): boolean {
  const texts = [...profile.values].filter(([value]) => /\p{L}{2}/u.test(value));
  if (texts.length < 4 || !texts.some(([value]) => /\S\s+\S/.test(value))) return false;
  const finders = procedureWords.filter(({ column }) => column === "final")
    .flatMap(({ words }) => words.flatMap(({ any }) => any.map(wordFinder)));
  let found = 0;
  let total = 0;
  for (const [value, count] of texts) {
    total += count;
    const text = plainWords(value);
    if (finders.some((finds) => finds(text))) found += count;
  }
  return found > 0.5 * total && texts.some(([value]) => value.split(/\s+/).length > 2);
}
