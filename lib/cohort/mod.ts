export { dictionary, dictionaryColumn, isConfounder, isNumeric } from "./dictionary.ts";
export type {
  Category,
  ColumnType,
  Condition,
  DictionaryColumn,
  Stage,
  TableName,
} from "./dictionary.ts";
