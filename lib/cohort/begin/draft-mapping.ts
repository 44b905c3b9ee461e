import type { DerivedRule, MappedSource, Mapping } from "../../study/mapping/mod.ts";
import { type DateOrder, sourcesOf } from "../cells/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import type { ColumnProfile } from "../propose/mod.ts";
import {
  creatinineUnit,
  type Decision,
  heightUnit,
  procedureRules,
  type SourceKind,
  sourceKinds,
  weightUnit,
} from "./consider/mod.ts";

/** What was decided of one table. */
export interface DecidedTable {
  table: TableName;
  /** Heading of the record numbers. */
  id: string;
  dates: DateOrder;
  decided: { profile: ColumnProfile; decision: Decision }[];
}

type Sources = Map<SourceKind, ColumnProfile>;

/** The mapping that the decisions make: every heading in it, or read by one of its rules. */
export function draftMapping(tables: readonly DecidedTable[]): Mapping {
  const mapping: Mapping = {
    patients: {},
    visits: {},
    missing: [],
    derived: { patients: [], visits: [] },
  };
  const patients = tables.find(({ table }) => table === "patients");
  for (const table of tables) {
    const sources: Sources = new Map();
    const filled = new Set<string>();
    for (const { profile, decision } of table.decided) {
      const { heading } = profile;
      if (decision.as === "source") sources.set(decision.source, profile);
      if (decision.as === "ignore") mapping[table.table][heading] = { ignore: decision.why };
      if (decision.as === "open") mapping[table.table][heading] = { open: decision.why };
      if (decision.as !== "column") continue;
      const { columns: [first = "", ...others], unit, codes, missing } = decision;
      const stated = {
        ...(unit && { unit }),
        ...(codes && Object.keys(codes).length > 0 && { codes }),
        ...(missing && missing.length > 0 && { missing }),
      };
      mapping[table.table][heading] = sourceFor(first, stated);
      filled.add(first);
      for (const column of others) {
        filled.add(column);
        const own = { ...(unit && { unit }), ...decision.others?.[column] };
        mapping.derived[table.table].push({ rule: "first-of", column, sources: [heading], ...own });
      }
    }
    mapping[table.table][table.id] = "id";
    const rules = table.table === "patients"
      ? patientRules(table, sources, filled)
      : visitRules(table, sources, patients);
    mapping.derived[table.table].push(...rules);
    leaveRest(mapping, table, sources);
  }
  return mapping;
}

function sourceFor(column: string, stated: object): MappedSource {
  return Object.keys(stated).length > 0 ? { column, ...stated } : column;
}

function patientRules(
  { dates: order, decided }: DecidedTable,
  sources: Sources,
  filled: ReadonlySet<string>,
): DerivedRule[] {
  const rules: DerivedRule[] = [];
  const heading = (source: SourceKind) => sources.get(source)?.heading;
  const blanksOf = (...headings: (string | undefined)[]) => blanksIn(decided, headings);
  const add = (rule: DerivedRule) => {
    if (!filled.has(rule.column)) rules.push(rule);
  };
  const from = heading("operation");
  const [birth, contact, death] = [heading("birth"), heading("contact"), heading("death")];
  const reintervention = heading("reintervention");
  if (from !== undefined) {
    add({ rule: "year-of", column: "op_year", date: from, order, ...blanksOf(from) });
    add({ rule: "place-by-date", column: "case_seq", date: from, order, ...blanksOf(from) });
    if (birth !== undefined) {
      const blanks = blanksOf(birth, from);
      add({ rule: "years-between", column: "age", from: birth, to: from, order, ...blanks });
    }
    const between = (column: string, to: (string | undefined)[]) => {
      const ends = to.filter((one) => one !== undefined);
      if (ends.length === 0) return;
      const blanks = blanksOf(from, ...ends);
      const end = ends.length === 1 && column !== "fu_days" ? ends[0]! : ends;
      add({ rule: "days-between", column, from, to: end, order, ...blanks });
    };
    between("fu_days", [death, contact]);
    between("los", [heading("discharge")]);
    between("reint_day", [reintervention]);
  }
  for (const [column, one] of [["dead", death], ["reint", reintervention]] as const) {
    if (one !== undefined) add({ rule: "filled", column, sources: [one], ...blanksOf(one) });
  }
  const creatinine = sources.get("creatinine");
  if (creatinine) {
    const { unit } = creatinineUnit(creatinine);
    add({ rule: "filtration-rate", column: "egfr", creatinine: creatinine.heading, unit });
  }
  const [height, weight] = [sources.get("height"), sources.get("weight")];
  if (height && weight) {
    add({
      rule: "body-surface",
      column: "bsa",
      height: height.heading,
      heightUnit: heightUnit(height).unit,
      weight: weight.heading,
      weightUnit: weightUnit(weight).unit,
      formula: "mosteller",
    });
  }
  const text = heading("text");
  if (text !== undefined) {
    for (const rule of procedureRules(text)) add(rule);
  }
  return rules;
}

function visitRules(
  { dates: order, decided }: DecidedTable,
  sources: Sources,
  patients: DecidedTable | undefined,
): DerivedRule[] {
  const date = sources.get("visit")?.heading;
  const operation = patients?.decided.find(({ decision }) =>
    decision.as === "source" && decision.source === "operation"
  )?.profile.heading;
  const has = decided.some(({ decision }) =>
    decision.as === "column" && decision.columns.includes("day")
  );
  if (has || date === undefined || operation === undefined || !patients) return [];
  const operationOrder = patients.dates;
  const rule = { rule: "days-after-operation", column: "day", date, order } as const;
  return [{ ...rule, operation, operationOrder, ...blanksIn(decided, [date]) }];
}

/** Words that stand for a blank in any of these columns, as a rule has them. */
function blanksIn(
  decided: DecidedTable["decided"],
  headings: readonly (string | undefined)[],
): { missing?: string[] } {
  const missing = decided.flatMap(({ profile, decision }) =>
    headings.includes(profile.heading) && decision.as === "source" ? decision.blanks ?? [] : []
  );
  return missing.length > 0 ? { missing: [...new Set(missing)] } : {};
}

/** Sources that no rule reads, and headings nothing was said of, are still in the mapping. */
function leaveRest(mapping: Mapping, { table, decided }: DecidedTable, sources: Sources): void {
  const read = new Set(mapping.derived[table].flatMap(sourcesOf));
  const operation = mapping.derived.visits.find((rule) => rule.rule === "days-after-operation");
  if (operation?.rule === "days-after-operation" && table === "patients") {
    read.add(operation.operation);
  }
  for (const [source, { heading }] of sources) {
    if (read.has(heading) || mapping[table][heading] !== undefined) continue;
    mapping[table][heading] = {
      ignore: `the ${sourceKinds[source]}: nothing needs to be worked out from it`,
    };
  }
  for (const { profile: { heading } } of decided) {
    if (mapping[table][heading] !== undefined || read.has(heading)) continue;
    mapping[table][heading] = { open: "nothing was decided" };
  }
}
