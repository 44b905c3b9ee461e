import { isDate, plainWords, wordFinder } from "../../cells/mod.ts";
import type { TableName } from "../../dictionary/mod.ts";
import { type ColumnProfile, nameSimilarity } from "../../propose/mod.ts";
import type { Considered } from "./consider.ts";
import { isAmbiguous } from "./doubts.ts";
import { procedureWords } from "./procedure-words.ts";
import { heightUnit, middleOf, weightUnit } from "./body-units.ts";
import { type SourceKind, sourceKinds, sourceNames } from "./source-names.ts";

const sourceMedians: Partial<Record<SourceKind, [number, number][]>> = {
  creatinine: [[0.6, 2.5], [50, 220]],
  height: [[150, 190], [1.5, 1.9], [59, 75]],
  weight: [[50, 110], [110, 250]],
};

/** What a column is worked out from, where the heading and values say so. */
export function sourceOf(
  table: TableName,
  profile: ColumnProfile,
  profiles: readonly ColumnProfile[],
): Pick<Considered, "decision" | "confidence" | "reasons" | "sure" | "rivalled"> | null {
  const dates = hasDates(profile);
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
    const nothing = { decision: null, confidence: 0, sure: false };
    // asked about by itself: how long somebody was followed may hang on it
    if (dates) {
      const decision = { as: "ignore", why: "not used" } as const;
      return { ...nothing, decision, reasons: ["its values are dates"] };
    }
    const named = namedDate(table, profile);
    if (named === null) return null;
    return {
      ...nothing,
      reasons: [
        `its name is one of the ${named}, but its values are no dates that can be read: a year ` +
        "needs four digits, a month a number or its English name",
      ],
      rivalled: true,
    };
  }
  const { source, similarity } = best;
  const medians = sourceMedians[source];
  const median = middleOf(profile.sample);
  const fits = medians
    ? profile.numbers === profile.filled &&
      medians.some(([low, high]) => median >= low && median <= high)
    : profile.dates === profile.filled;
  if (medians && !fits) return null;
  const mixed = source === "creatinine" && !creatinineUnit(profile).sure;
  const body = bodyUnit(source, profile);
  const rivals = profiles.filter((other) =>
    other !== profile && !namesAnother(other.heading, source) &&
    sourceNames[source].some((name) => nameSimilarity(other.heading, name) >= 0.62)
  );
  return {
    decision: { as: "source", source },
    confidence: Math.round(100 * similarity * (fits ? 1 : 0.6)) / 100,
    reasons: [
      `its name is ${similarity === 1 ? "a name of" : "like"} the ${sourceKinds[source]}`,
      ...(fits ? [] : ["some of its values are no dates"]),
      ...(rivals.length > 0 ? ["another heading could be it as well"] : []),
      ...(mixed ? ["some of its values are such as in mg/dL, others such as in umol/L"] : []),
      ...(body
        ? [`it is taken to be in ${body.name}${body.sure ? "" : ", which is in doubt"}`]
        : []),
    ],
    sure: similarity === 1 && fits && !mixed && (body?.sure ?? true) && rivals.length === 0 &&
      (profiles.length > 0 && !ambiguousFor(profile.heading, source)),
  };
}

/** The unit of a height or a weight, in words. */
function bodyUnit(source: SourceKind, profile: ColumnProfile) {
  if (source === "height") {
    const { unit, sure } = heightUnit(profile);
    return { name: { cm: "centimetres", m: "metres", in: "inches" }[unit], sure };
  }
  if (source !== "weight") return undefined;
  const { unit, sure } = weightUnit(profile);
  return { name: { kg: "kilograms", lb: "pounds" }[unit], sure };
}

/** Whether a heading is the name of something else: "weight" is like "height", and is no rival. */
function namesAnother(heading: string, source: SourceKind): boolean {
  return (Object.keys(sourceNames) as SourceKind[]).some((other) =>
    other !== source && sourceNames[other].some((name) => nameSimilarity(heading, name) === 1)
  );
}

/** What date a heading names beyond doubt, whatever its values are; `null` where none. */
function namedDate(table: TableName, { heading }: ColumnProfile): string | null {
  const bare = heading.replace(/^.*?: /, "");
  const found = (Object.keys(sourceKinds) as SourceKind[]).find((source) =>
    source !== "text" && sourceMedians[source] === undefined &&
    (source === "visit") === (table === "visits") &&
    sourceNames[source].some((name) => nameSimilarity(bare, name) === 1)
  );
  return found === undefined ? null : sourceKinds[found];
}

// no adult has so much in mg/dL, nor so little in umol/L
const mostMilligrams = 15;

/** The unit of creatinine, by its heading, else its median, and whether all values agree. */
export function creatinineUnit(
  { heading, sample }: Pick<ColumnProfile, "heading" | "sample">,
): { unit: "mg/dL" | "umol/L"; sure: boolean } {
  const text = heading.normalize("NFKC").toLowerCase();
  const high = sample.filter((value) => value > mostMilligrams).length;
  const stated = /mg\s*\/?\s*dl/.test(text)
    ? "mg/dL"
    : /([uµμ]|mi[ck]ro)\s*mol/.test(text)
    ? "umol/L"
    : null;
  const unit = stated ?? (2 * high > sample.length ? "umol/L" : "mg/dL");
  const other = unit === "umol/L" ? sample.length - high : high;
  return { unit, sure: other <= 0.01 * sample.length };
}

/**
 * Whether a column has dates: most of its values are, or some are and the rest is few words, as
 * "alive" among dates of death.
 */
function hasDates({ dates, filled, numbers, values }: ColumnProfile): boolean {
  if (dates > 0.5 * filled) return true;
  const words = [...values.keys()].filter((value) => !isDate(value));
  return dates > 0 && numbers === 0 && words.length <= 3;
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
