import type { TableName } from "../../cohort/dictionary/mod.ts";
import { isJsonObject, lineOfPath, pathOf } from "../../study/problems/mod.ts";
import type { CleanCopy } from "../../cohort/deidentify/mod.ts";
import type { Conversation } from "../../cohort/begin/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { taskLine } from "../../study/command-line/mod.ts";
import { join } from "../notebooks/mod.ts";
import { toWrite, type Validation, verdict } from "../validate/mod.ts";
import type { Edited } from "./keep-edits.ts";

/** What was done, and what comes next: the end of `begin`. */
export function beginLines({ copy, study, validation, talk, path, secret, edited, text }: {
  copy: CleanCopy;
  study: Study;
  validation: Validation;
  talk: Conversation;
  path: string;
  secret: string;
  edited: Edited;
  /** The study file's text. */
  text: string;
}): string[] {
  const lines = ["", `Study file   ${path} (${talk.given} answers given now)`];
  for (const { table, rowsRead, rowsWritten, notes, alike, columns } of copy.tables) {
    lines.push(
      `Clean copy   ${table}: ${rowsRead} lines read, ${rowsWritten} rows written` +
        (notes > 0 ? `, ${notes} notes beneath the table` : ""),
    );
    if (alike > 0) {
      lines.push(
        `  ${alike} rows have a record number that is a patient's but for leading zeros, capitals or ` +
          "blanks: they are taken for that patient's",
      );
    }
    for (const { column, filled, notUnderstood } of columns) {
      if (notUnderstood > 0) {
        lines.push(`  ${column}: ${filled} filled, ${notUnderstood} not understood and blank`);
        lines.push(...whereToSay(study, text, { table, column }));
      }
    }
    const blank = columns.filter(({ filled }) => filled === 0).map(({ column }) => column);
    if (blank.length > 0) lines.push(`  nothing in the export for: ${blank.join(", ")}`);
  }
  if (copy.notUnderstood > 0) {
    lines.push(
      `Not understood: ${copy.notUnderstood} cells, each with its line in ${
        join(secret, "not-understood.csv")
      }; once you have said what they stand for, run the same command again`,
    );
  }
  const open = (["patients", "visits"] as const).flatMap((table) =>
    Object.entries(study.mapping[table]).flatMap(([heading, source]) =>
      typeof source === "object" && "open" in source ? [`${table}.${heading}`] : []
    )
  );
  if (open.length > 0) lines.push(`Open: ${open.join(", ")}`);
  if (talk.open.length > 0) lines.push(`Not answered: ${talk.open.join(", ")}`);
  lines.push(
    ...editLines(edited),
    `Check        ${verdict(validation)}`,
    "",
    "Next: read the study file, say the question and the plan in your own words, then",
    `  ${taskLine("validate", { study: path })}`,
    `  ${taskLine("report", { study: path, preview: true })}`,
  );
  return lines;
}

/** Where in the study file to say what cells of a column stand for, with the JSON for it. */
function whereToSay(
  study: Study,
  text: string,
  { table, column }: { table: TableName; column: string },
): string[] {
  const { mapping } = study;
  const rule = mapping.derived[table].findIndex((one) => one.column === column);
  if (rule >= 0) {
    const place = `mapping.derived.${table}[${rule}]`;
    const line = lineOfPath(text, ["mapping", "derived", table, rule]);
    return [`    it is worked out by a rule of the study file: ${place}, line ${line}`];
  }
  return toWrite(study, text, [{ table, rule: "code", column, value: null }])
    .map(({ what, part, line, json }) => `    ${what}, write in ${part}, line ${line}: ${json}`);
}

/** What of a study file stays as a person changed it: the part, and what it says. */
export function changedLines({ study, kept }: Edited): string[] {
  return kept.map((path) => {
    let at: unknown = study;
    for (const key of pathOf(path, study)) at = isJsonObject(at) ? at[key] : undefined;
    return at === undefined ? path : `${path}: ${JSON.stringify(at)}`;
  });
}

/** What of the last study file stays, and what of the last export is gone. */
function editLines({ kept, gone }: Edited): string[] {
  return [
    ...(kept.length > 0 ? [`Kept as you changed it: ${kept.join("; ")}`] : []),
    ...(gone.length > 0 ? [`No more in the export: ${gone.join("; ")}`] : []),
  ];
}
