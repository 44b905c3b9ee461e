import type { OwnColumn } from "../../study/plan/mod.ts";
import type { DictionaryColumn, TableName } from "./dictionary.ts";
import { entriesOf } from "./entry.ts";

/** Columns that a study declares for itself, as entries of the dictionary. */
export function ownEntries(table: TableName, own: readonly OwnColumn[]): DictionaryColumn[] {
  return own.filter((column) => column.table === table).flatMap((column) =>
    entriesOf(table, column.stage, [{
      name: column.name,
      label: column.label,
      type: column.type,
      requirement: "required",
      ...(column.unit !== undefined && { unit: column.unit }),
      ...(column.range && { hard: [column.range[0], column.range[1]] }),
      ...(column.usual && { soft: [column.usual[0], column.usual[1]] }),
      ...(column.codes && { categories: { ...column.codes } }),
      ...(column.note !== undefined && { note: column.note }),
    }])
  );
}
