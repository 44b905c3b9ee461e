import { z } from "zod";

const words = z.string().trim().min(1);
const column = z.string().regex(/^[a-z][a-z0-9_]*$/, "a column of the dictionary, such as lvef");
const cell = z.union([z.string(), z.number()]);
const source = words.describe("A column of the file, by the name it has there.");
const order = z.enum(["year-first", "day-first", "month-first"]).default("year-first").describe(
  "How dates are written. A date that begins with a four-digit year is read in any order.",
);

/** Units that a file may use; the dictionary says which one a column has here. */
export const unitSchema = z.enum([
  "mm",
  "cm",
  "m",
  "mm2",
  "cm2",
  "percent",
  "fraction",
  "days",
  "weeks",
  "months",
  "years",
  "seconds",
  "minutes",
  "hours",
  "mmHg",
  "kPa",
  "mL",
  "L",
]);

const conversion = {
  unit: unitSchema.optional().describe("The unit in the file, where it is not the dictionary's."),
  codes: z.record(z.string(), cell).optional().describe(
    'The file\'s codes and ours: {"Y": 1, "N": 0}. Case and outer spaces do not matter.',
  ),
  missing: z.array(cell).optional().describe(
    "Values of this column that stand for a missing one, such as -9.",
  ),
};

/** Kinds of identifier that words of another kind may look like: makers, models, wards, towns. */
const waivableKinds = z.enum(["name", "place", "device", "vehicle", "free-text"]);

const notIdentifyingSchema = z.strictObject({
  kinds: z.array(waivableKinds).min(1).describe(
    "What its values look like and are not. Nothing else can be waived: not dates, telephone " +
      "numbers, e-mail addresses, record numbers or other numbers of a person, nor a column in " +
      "which most rows have a value of their own.",
  ),
  why: words.describe("How it is known that no value identifies a patient. The report prints it."),
});

/** What becomes of one column of the file. */
const sourceSchema = z.union([
  column,
  z.strictObject({ column, ...conversion }),
  z.strictObject({
    ignore: words.describe("Why the column is left out; its values are not read."),
    notIdentifying: notIdentifyingSchema.optional().describe(
      "Lets the column stay in the file although its values look like identifiers.",
    ),
  }),
  z.strictObject({
    open: words.describe("What is not decided yet; until it is, its values are not read."),
  }),
]);

const yes = z.array(cell).min(1).default([1]).describe("Values that mean yes.");
const no = z.array(cell).min(1).default([0, "0", "no", "n", "false"])
  .describe("Values that mean no; one that means neither is reported.");

/** Of rules that read dates, or whether a cell is filled. */
const blanks = {
  missing: z.array(cell).optional().describe(
    'Values of these columns that stand for a blank, such as "alive" among dates of death.',
  ),
};

/** A column worked out from others of the file by one of these rules. */
const derivedSchema = z.discriminatedUnion("rule", [
  z.strictObject({
    rule: z.literal("days-between"),
    column,
    from: source,
    to: z.union([source, z.array(source).min(1)]).describe("The first of them that is filled."),
    order,
    ...blanks,
  }),
  z.strictObject({
    rule: z.literal("years-between"),
    column,
    from: source,
    to: source,
    order,
    ...blanks,
  }),
  z.strictObject({ rule: z.literal("year-of"), column, date: source, order, ...blanks }),
  z.strictObject({ rule: z.literal("place-by-date"), column, date: source, order, ...blanks }),
  z.strictObject({
    rule: z.literal("first-of"),
    column,
    sources: z.array(source).min(1).describe(
      "One alone fills a second column from a column that fills another already.",
    ),
    ...conversion,
  }),
  z.strictObject({ rule: z.literal("filled"), column, sources: z.array(source).min(1), ...blanks }),
  z.strictObject({ rule: z.literal("any-of"), column, sources: z.array(source).min(1), yes, no }),
  z.strictObject({ rule: z.literal("count-of"), column, sources: z.array(source).min(1), yes, no }),
  z.strictObject({
    rule: z.literal("set-of"),
    column,
    sources: z.record(z.string(), z.string()).describe("The file's column and the code it means."),
    yes,
    no,
  }),
  z.strictObject({
    rule: z.literal("body-surface"),
    column,
    height: source.describe("A column of heights."),
    heightUnit: z.enum(["cm", "m", "in"]).default("cm").describe("1 in is 2.54 cm."),
    weight: source.describe("A column of weights."),
    weightUnit: z.enum(["kg", "lb"]).default("kg").describe("1 lb is 0.45359237 kg."),
    formula: z.enum(["mosteller", "du-bois"]).default("mosteller"),
  }),
  z.strictObject({
    rule: z.literal("filtration-rate"),
    column,
    creatinine: source.describe("A column of serum creatinine."),
    unit: z.enum(["mg/dL", "umol/L"]).describe("1 mg/dL is 88.4 umol/L."),
  }).describe("From creatinine with age and sex, by the CKD-EPI equation of 2021."),
  z.strictObject({
    rule: z.literal("words-of"),
    column,
    from: source.describe("A column of text."),
    words: z.array(z.strictObject({
      any: z.array(words).min(1).describe(
        'Words, in the file\'s language, any of which is enough. "-ring" also ends a longer word, ' +
          '"ring-" also begins one.',
      ),
      none: z.array(words).optional().describe("Words that must not be there beside it."),
      code: cell,
    })).min(1).describe("The first that is found decides; a set takes all that are."),
    otherwise: cell.optional().describe(
      "The code where none of the words is found; without it, such a text is reported.",
    ),
  }),
  z.strictObject({
    rule: z.literal("number-after"),
    column,
    from: source.describe("A column of text."),
    after: z.array(words).min(1).describe("Words, the number after the first of which is taken."),
    otherwise: z.number().optional().describe(
      "The number where none of the words is there; else a blank.",
    ),
  }),
  z.strictObject({
    rule: z.literal("days-after-operation"),
    column,
    date: source,
    order,
    operation: words.describe("The patients table's column of dates of operation."),
    operationOrder: order,
    ...blanks,
  }).describe("Of an export's visits: days from the date that the patients table has."),
  z.strictObject({
    rule: z.literal("constant"),
    column,
    value: cell,
    why: words.describe("How it is known that the value is the same for everybody."),
  }),
]);

const tables = <T extends z.ZodType>(of: T) => z.strictObject({ patients: of, visits: of });

/** How the columns of the files become those of the dictionary. */
export const mappingSchema = z.strictObject({
  patients: z.record(z.string(), sourceSchema).default({}),
  visits: z.record(z.string(), sourceSchema).default({}),
  missing: z.array(cell).default([]).describe(
    'Values that stand for a missing one in any column, such as "NK" or ".".',
  ),
  derived: tables(z.array(derivedSchema).default([])).prefault({ patients: [], visits: [] })
    .describe("Columns worked out from others, by named rules."),
}).prefault({}).describe(
  "Columns of the file and what they are here: {theirs: ours}, or with a unit, codes, missing values.",
);

/** Why a column of the file is not read: left out for good, or not decided yet. */
export function whyUnread(source: MappedSource | undefined): string | null {
  if (typeof source !== "object") return null;
  return "ignore" in source ? source.ignore : "open" in source ? source.open : null;
}

const format = z.strictObject({
  encoding: z.enum(["utf-8", "utf-16le", "utf-16be", "windows-1252"]).optional(),
  delimiter: z.enum([",", ";", "\t"]).optional(),
  decimal: z.enum([".", ","]).optional(),
  sheet: words.optional().describe("Name of the sheet, in a workbook; else the first is read."),
});

/** How the files are written, where what would be found by looking at them is wrong. */
export const formatSchema = z.strictObject({
  cohort: format.optional(),
  visits: format.optional(),
}).optional();

const layout = format.extend({
  header: z.array(z.int().min(1)).min(1).max(2).optional().describe(
    "Lines of the column names, one or two that are read together; else the first line.",
  ),
  fillDown: z.array(words).default([]).describe(
    "Columns in which a blank stands for the value above it, as merged cells have it.",
  ),
  id: words.describe("The column of record numbers, which become pseudonyms."),
});

/** How the centre's own export is laid out, from which the clean copy is made. */
export const exportSchema = z.strictObject({
  cohort: layout,
  visits: layout.optional(),
}).optional();

/** How one table of an export is laid out. */
export type TableLayout = z.infer<typeof layout>;
/** @internal */
type CheckedWaivableKind = z.infer<typeof waivableKinds>;
/** One kind of identifier that the study file may waive. */
export type WaivableKind = CheckedWaivableKind;
/** @internal */
type CheckedUnit = z.infer<typeof unitSchema>;
/** One unit that a file may use. */
export type Unit = CheckedUnit;
/** @internal */
type CheckedMappedSource = z.infer<typeof sourceSchema>;
/** What becomes of one column of the file, where that is more than a new name. */
export type MappedSource = CheckedMappedSource;
/** @internal */
type CheckedDerivedRule = z.infer<typeof derivedSchema>;
/** One rule by which a column is worked out. */
export type DerivedRule = CheckedDerivedRule;
/** @internal */
type CheckedMapping = z.infer<typeof mappingSchema>;
/** The mapping as checked. */
export type Mapping = CheckedMapping;
