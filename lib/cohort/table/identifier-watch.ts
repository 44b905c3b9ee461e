import type { Mapping } from "../../study/mapping/mod.ts";
import { sourcesOf } from "../cells/mod.ts";
import { type DictionaryColumn, dictionaryColumn, isNumeric } from "../dictionary/mod.ts";
import {
  type ExpectedColumn,
  identifierMessage,
  identifierScan,
  remedyOf,
} from "../identifiers/mod.ts";
import { report, type Table } from "./table.ts";

/** Watches a table for identifiers while it is read. */
export interface IdentifierWatch {
  /** Says whose the next cells are, by the row of the file. */
  row(record: readonly string[]): void;
  look(position: number, cell: string, line: number): void;
  /** Counts cells that a reader of the dictionary recognised. */
  pass(position: number, cells: { numerals: number; codes: number }): void;
  /** Reports what was found as structural problems of the table: columns and counts, no value. */
  finish(): void;
}

/**
 * An {@link identifierScan} over every column of a file, whether read, mapped, ignored or unknown.
 *
 * Dates are let through where the study file works something out from them: they are read cell by
 * cell and not kept. What a reader of cells has already reported is not said twice. What the study
 * file waives in a column that is not read becomes a warning with the reason, where it
 * may be waived.
 */
export function watchIdentifiers(
  table: Table,
  header: readonly string[],
  mapping: Mapping,
): IdentifierWatch {
  const names = header.map((name) => name.trim());
  const sources = new Map(Object.entries(mapping[table.name]));
  const read = new Set(
    mapping.derived[table.name].flatMap((rule) =>
      rule.rule === "days-between" || rule.rule === "years-between" || rule.rule === "year-of" ||
        rule.rule === "place-by-date"
        ? sourcesOf(rule)
        : []
    ),
  );
  const expected = names.map((name): ExpectedColumn | undefined => {
    const source = sources.get(name) ?? name;
    if (typeof source === "object" && !("column" in source)) {
      const waiver = "ignore" in source ? source.notIdentifying : undefined;
      return waiver && { waived: waiver.kinds };
    }
    const column = dictionaryColumn(
      table.name,
      typeof source === "string" ? source : source.column,
      table.own,
    );
    if (!column) return undefined;
    const { codes = {}, missing = [] } = typeof source === "object" ? source : {};
    return { column, values: [...Object.keys(codes), ...missing, ...mapping.missing].map(String) };
  });
  const scan = identifierScan(names, expected);
  const id = expected.findIndex((one) => one?.column?.type === "identifier");
  return {
    row: (record) => scan.of(id >= 0 ? (record[id] ?? "").trim() : ""),
    look: scan.look,
    pass: scan.pass,
    finish() {
      const said = new Set(
        table.problems.filter(({ rule }) =>
          rule === "date" || rule === "free-text" || rule === "pseudonym"
        ).map(({ column }) => column),
      );
      // a reader of numbers finds nothing wrong with digits
      const unsaid = (column: DictionaryColumn | undefined, kind: string) =>
        column !== undefined && isNumeric(column) &&
        (kind === "record-number" || kind === "social-security");
      for (const finding of scan.finish()) {
        const name = names[finding.position] ?? "";
        if (finding.kind === "date" && read.has(name)) continue;
        const ours = expected[finding.position]?.column?.name;
        const known = expected[finding.position]?.column;
        if (ours !== undefined && said.has(ours) && !unsaid(known, finding.kind)) continue;
        // these two are reported with the rules that compare patients
        if (ours === "age" && finding.kind === "age") continue;
        if (ours === "id" && finding.kind === "name" && finding.because === "column") continue;
        const source = sources.get(name);
        const waiver = typeof source === "object" && "ignore" in source && source.notIdentifying;
        const common = { line: finding.line, column: ours ?? finding.column };
        if (waiver && finding.waived) {
          report(table, null, {
            ...common,
            rule: "identifier-waived",
            severity: "warning",
            message: `${identifierMessage(finding)}, which the study file says they are not`,
            remedy: `check its reason: ${waiver.why}`,
          });
          continue;
        }
        report(table, null, {
          ...common,
          rule: "identifier",
          severity: "structural",
          message: identifierMessage(finding),
          remedy: remedyOf(finding) +
            (waiver ? "; the study file's notIdentifying cannot waive this" : ""),
        });
      }
    },
  };
}
