/** The columns there are: meaning, unit, range, stage. @module */
export {
  type Category,
  type ColumnType,
  type Condition,
  dictionary,
  type DictionaryColumn,
  dictionaryColumn,
  isConfounder,
  isNumeric,
  type Stage,
  tableColumns,
  type TableName,
} from "./dictionary.ts";
export { cohortJsonSchema } from "./schema.ts";
export { completedStudySchema } from "./study-schema.ts";
