import { looksLikeColumnName } from "../../cohort/cells/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import type { Problem } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { lineOfPath } from "../../study/problems/mod.ts";

/** What would mend a problem if it were written in the study file. */
export interface ToWrite {
  /** The part of the study file it belongs in. */
  part: string;
  /** Its line, or that of the nearest part around it that is there. */
  line: number;
  /** JSON to paste there. */
  json: string;
}

/**
 * What to write in the study file, and where, for a problem that the study file can mend: a column
 * that is not the dictionary's, and values that are none of a column's codes.
 */
export function toWrite(study: Study, text: string, problem: Problem): ToWrite | null {
  const { table, rule, column, heading } = problem;
  const within = (json: unknown, name: string): ToWrite => ({
    part: `mapping.${table}`,
    line: lineOfPath(text, ["mapping", table, name]),
    json: `${JSON.stringify(name)}: ${JSON.stringify(json)}`,
  });
  if (rule === "unknown-column" && heading !== undefined && looksLikeColumnName(heading)) {
    return within({ ignore: "why it is not used" }, heading);
  }
  if (rule !== "code" || column === null) return null;
  const [name, source] =
    Object.entries(study.mapping[table]).find(([, one]) =>
      one === column || (typeof one === "object" && "column" in one && one.column === column)
    ) ?? [column, column];
  if (!looksLikeColumnName(name)) return null;
  const codes = dictionaryColumn(table, column, study.columns)?.categories ?? [];
  const stated = typeof source === "object" && "column" in source ? source : { column };
  const value = problem.value ?? "what the file says";
  const added = { ...stated.codes, [value]: codes[0]?.code ?? "" };
  return within({ ...stated, codes: added }, name);
}
