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
]);

const yes = z.array(cell).min(1).default([1]).describe("Values that mean yes.");
const no = z.array(cell).min(1).default([0, "0", "no", "n", "false"])
  .describe("Values that mean no; one that means neither is reported.");

/** A column worked out from others of the file by one of these rules. */
const derivedSchema = z.discriminatedUnion("rule", [
  z.strictObject({
    rule: z.literal("days-between"),
    column,
    from: source,
    to: z.union([source, z.array(source).min(1)]).describe("The first of them that is filled."),
    order,
  }),
  z.strictObject({
    rule: z.literal("years-between"),
    column,
    from: source,
    to: source,
    order,
  }),
  z.strictObject({ rule: z.literal("year-of"), column, date: source, order }),
  z.strictObject({ rule: z.literal("place-by-date"), column, date: source, order }),
  z.strictObject({
    rule: z.literal("first-of"),
    column,
    sources: z.array(source).min(2),
    ...conversion,
  }),
  z.strictObject({ rule: z.literal("filled"), column, sources: z.array(source).min(1) }),
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
    height: source.describe("A column of heights in centimetres."),
    weight: source.describe("A column of weights in kilograms."),
  }),
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

/** One kind of identifier that the study file may waive. */
export type WaivableKind = z.infer<typeof waivableKinds>;
/** One unit that a file may use. */
export type Unit = z.infer<typeof unitSchema>;
/** What becomes of one column of the file, where that is more than a new name. */
export type MappedSource = z.infer<typeof sourceSchema>;
/** One rule by which a column is worked out. */
export type DerivedRule = z.infer<typeof derivedSchema>;
/** The mapping as checked. */
export type Mapping = z.infer<typeof mappingSchema>;
