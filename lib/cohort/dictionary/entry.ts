import type {
  Category,
  ColumnType,
  Condition,
  DictionaryColumn,
  Stage,
  TableName,
} from "./dictionary.ts";

/** A dictionary entry with its defaults left out. */
export interface Entry {
  name: string;
  label: string;
  type: ColumnType;
  unit?: string;
  hard?: [min: number, max: number];
  soft?: [min: number | null, max: number | null];
  categories?: Record<string, string>;
  requirement?: DictionaryColumn["requirement"];
  condition?: Condition;
  complete?: true;
  note?: string;
}

const yesNo: Category[] = [{ code: "0", label: "no" }, { code: "1", label: "yes" }];

/** Spells out the defaults of entries: required unless conditional or said to be optional. */
export function entriesOf(table: TableName, stage: Stage, entries: Entry[]): DictionaryColumn[] {
  return entries.map((entry) => ({
    name: entry.name,
    table,
    label: entry.label,
    unit: entry.unit ?? null,
    type: entry.type,
    hard: entry.type === "binary"
      ? { min: 0, max: 1 }
      : entry.hard
      ? { min: entry.hard[0], max: entry.hard[1] }
      : null,
    soft: entry.soft ? { min: entry.soft[0], max: entry.soft[1] } : null,
    categories: entry.categories
      ? Object.entries(entry.categories).map(([code, label]) => ({ code, label }))
      : entry.type === "binary"
      ? yesNo
      : null,
    requirement: entry.requirement ?? (entry.condition ? "conditional" : "required"),
    condition: entry.condition ?? null,
    complete: entry.complete ?? false,
    stage,
    note: entry.note ?? null,
  }));
}
