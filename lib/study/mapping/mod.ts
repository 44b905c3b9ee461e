/** How the columns of a file become those of the dictionary. @module */
export {
  type DerivedRule,
  formatSchema,
  type MappedSource,
  type Mapping,
  mappingSchema,
  type Unit,
  unitSchema,
  type WaivableKind,
} from "./mapping-schema.ts";
