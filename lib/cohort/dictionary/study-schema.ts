import { studyJsonSchema } from "../../study/plan/mod.ts";
import { type DictionaryColumn, tableColumns, type TableName } from "./dictionary.ts";

type Json = Record<string, unknown>;

/**
 * The study file's JSON Schema with the dictionary in it, so that an editor completes columns, says
 * what each is, and completes the codes of the column that was named. Columns of the study's own
 * are right, too. It points to no other file: it may be copied to wherever a study file is.
 */
export function completedStudySchema(): Json {
  const plain = studyJsonSchema();
  const completed = withColumns(plain, "patients") as Json;
  return {
    ...completed,
    $defs: {
      ...(completed.$defs as Json | undefined),
      "patients-column": columnSchema("patients", ownColumnOf(plain)),
      "visits-column": columnSchema("visits", ownColumnOf(plain)),
      "patients-codes": codesSchema("patients"),
      "visits-codes": codesSchema("visits"),
    },
  };
}

/** Every part that names a column refers to the columns there are, and its codes to theirs. */
function withColumns(schema: unknown, table: TableName): unknown {
  if (Array.isArray(schema)) return schema.map((one) => withColumns(one, table));
  if (typeof schema !== "object" || schema === null) return schema;
  if (isColumnName(schema)) {
    const { type: _, pattern: __, ...rest } = schema as Json;
    return { ...rest, $ref: `#/$defs/${table}-column` };
  }
  const entries = Object.entries(schema).map(([key, value]): [string, unknown] => [
    key,
    // the name of a column of one's own is new
    key === "columns" && isOwnColumns(value)
      ? value
      : withColumns(value, key === "visits" ? "visits" : table),
  ]);
  const result = Object.fromEntries(entries);
  const properties = (schema as Json).properties as Json | undefined;
  const named = properties && isColumnName(properties.column);
  return named && codeParts.some((part) => part in properties)
    ? { ...result, $ref: `#/$defs/${table}-codes` }
    : result;
}

/** Parts in which codes of the named column stand. */
const codeParts = ["oneOf", "exclude", "codes", "reference", "value", "otherwise"];

function isColumnName(schema: unknown): boolean {
  return typeof schema === "object" && schema !== null && "pattern" in schema &&
    schema.pattern === "^[a-z][a-z0-9_]*$";
}

function isOwnColumns(schema: unknown): boolean {
  return JSON.stringify(schema).includes('"usual"');
}

function ownColumnOf(schema: Json): Json {
  const name = JSON.stringify(schema).match(
    /\{"type":"string","pattern":"\^\[a-z\]\[a-z0-9_\]\*\$"\}/,
  );
  return JSON.parse(name?.[0] ?? "{}");
}

function columnSchema(table: TableName, own: Json): Json {
  return {
    anyOf: [
      ...tableColumns(table).map((column) => ({
        const: column.name,
        description: inWords(column),
      })),
      { ...own, description: 'A column of the study\'s own, declared in "columns".' },
    ],
  };
}

function inWords({ label, unit, categories }: DictionaryColumn): string {
  const codes = categories?.map(({ code }) => code).join(", ");
  return `${label}${unit ? `, in ${unit}` : ""}${codes ? `: ${codes}` : ""}`;
}

/** Of each column with codes: where it is the one named, its codes may stand beside it. */
function codesSchema(table: TableName): Json {
  return {
    allOf: tableColumns(table).flatMap((column) => {
      if (!column.categories) return [];
      const codes = {
        enum: column.categories.map(({ code }) => column.type === "binary" ? Number(code) : code),
      };
      const codeOrOther = { anyOf: [codes, { type: ["string", "number"] }] };
      const list = { items: codeOrOther };
      return [{
        if: { properties: { column: { const: column.name } }, required: ["column"] },
        then: {
          properties: {
            oneOf: list,
            exclude: { properties: { oneOf: list } },
            codes: { additionalProperties: codeOrOther },
            reference: codeOrOther,
            value: codeOrOther,
            otherwise: codeOrOther,
          },
        },
      }];
    }),
  };
}
