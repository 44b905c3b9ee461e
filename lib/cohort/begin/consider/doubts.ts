import type { Unit } from "../../../study/mapping/mod.ts";
import { factorFrom, numberOf, unitsFor } from "../../cells/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  tableColumns,
  type TableName,
} from "../../dictionary/mod.ts";
import {
  codeFor,
  type ColumnProfile,
  isMissing,
  nameSimilarity,
  otherNamesOf,
  unitInHeading,
} from "../../propose/mod.ts";
import { deniesIn, mayBeTurned, namesState } from "./directions.ts";
import { oddGrade } from "./odd-values.ts";
import { ambiguousNames } from "./source-names.ts";
import { middleOf } from "./body-units.ts";

/** How alike a heading must be to a name of a column to be it, as in a proposal. */
export const leastAlike = 0.62;

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

/**
 * Whether the values of a column are such as can be asked about one by one: codes, grades, "55 %".
 */
export function sayValues(profile: ColumnProfile, column: DictionaryColumn): boolean {
  if (profile.many || profile.dates > 0) return false;
  if (column.categories) return true;
  const values = [...profile.values.keys()].filter((value) => !isMissing(value));
  if (column.type === "ordinal") {
    return values.every((value) => oddGrade(value, { most: 4, fractions: false }) !== null);
  }
  return column.unit === "%" && values.every((value) => /^\d+([.,]\d+)?\s*%$/.test(value));
}

export function nameDoubts(
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
  if (dictionaryColumn(table, name)?.type === "binary" && deniesIn(heading)) {
    doubts.push("its name may say the opposite");
  }
  const rivals = profiles.filter((other) =>
    other !== profile && other.dates <= 0.5 * other.filled &&
    similarityTo(other.heading, table, name) >= leastAlike && !isOther(other.heading, table, name)
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

export function isAmbiguous(heading: string): boolean {
  return [...ambiguousNames].some((name) => nameSimilarity(heading, name) === 1);
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

export function valueDoubts(
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
  if (mayBeTurned(profile, column) && !values.every(namesState)) {
    return ["its name does not say which of its values is which"];
  }
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
  const median = middleOf(numbers) * factor;
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
