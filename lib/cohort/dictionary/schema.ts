import { z } from "zod";
import { dictionary, type DictionaryColumn, isNumeric, type TableName } from "./dictionary.ts";

/** One value of a column, as the dictionary allows it; blank where it may be missing. */
function valueSchema(column: DictionaryColumn): z.ZodType {
  const described = (schema: z.ZodType) =>
    schema.describe([column.label, column.unit, column.note].filter(Boolean).join("; "));
  if (isNumeric(column)) {
    const whole = column.type === "number" ? z.number() : z.int();
    const { min, max } = column.hard ?? {};
    const low = min === undefined ? whole : whole.min(min);
    const ranged = max === undefined ? low : low.max(max);
    return described(column.complete ? ranged : z.union([ranged, z.literal("")]));
  }
  const codes = column.categories?.map(({ code }) => code) ?? [];
  if (column.type === "category") {
    return described(z.enum(column.complete ? codes : ["", ...codes]));
  }
  if (column.type === "set") {
    const one = codes.join("|");
    return described(z.string().regex(new RegExp(`^((${one})(;(${one}))*)?$`)));
  }
  const pattern = column.type === "identifier" ? /^[A-Za-z0-9_-]{1,64}$/ : /^[A-Za-z0-9_-]{0,12}$/;
  return described(z.string().regex(pattern));
}

function rowSchema(table: TableName): z.ZodType {
  return z.strictObject(Object.fromEntries(
    dictionary[table].map((column) => {
      const schema = valueSchema(column);
      return [column.name, column.requirement === "required" ? schema : schema.optional()];
    }),
  ));
}

/**
 * JSON Schema of a cohort's two tables as the dictionary has them, one object a row: published as
 * `data-demo/cohort.schema.json`. Rules that compare cells are not in it.
 */
export function cohortJsonSchema(): Record<string, unknown> {
  const schema = z.strictObject({
    patients: z.array(rowSchema("patients")),
    visits: z.array(rowSchema("visits")),
  });
  return { title: "Cohort", ...z.toJSONSchema(schema) };
}
