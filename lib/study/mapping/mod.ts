/** How the columns of a file become those of the dictionary. @module */
export {
  type DerivedRule,
  exportSchema,
  formatSchema,
  type MappedSource,
  type Mapping,
  mappingSchema,
  type TableLayout,
  type Unit,
  unitSchema,
  type WaivableKind,
  whyUnread,
} from "./mapping-schema.ts";
