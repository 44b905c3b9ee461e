import { unitSchema } from "../../study/mapping/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  type TableName,
} from "../dictionary/mod.ts";
import { codeFor } from "../propose/mod.ts";
import { type Decision, type SourceKind, sourceKinds } from "./consider/mod.ts";

/**
 * A decision as an answer says it: `lvef`, `lvedd cm`, `intended, final`, `ignore: why`, `open`.
 */
export function decisionOf(table: TableName, answer: string): Decision | null {
  const text = answer.trim();
  const left = /^(ignore|open)\b[:\s]*(.*)$/is.exec(text);
  if (left) {
    const why = left[2]?.trim();
    return left[1]?.toLowerCase() === "ignore"
      ? { as: "ignore", why: why || "not used" }
      : { as: "open", why: why || "not decided yet" };
  }
  const source = /^(the )?(.+)$/i.exec(text)?.[2]?.toLowerCase() ?? "";
  if (Object.hasOwn(sourceKinds, source)) return { as: "source", source: source as SourceKind };
  const [names = "", ...rest] = text.split(/\s+(?=[^\s,]+$)(?<!,\s)/);
  const unit = rest.length === 1 ? unitSchema.safeParse(rest[0]).data : undefined;
  const list = (unit ? names : text).split(",").map((name) => name.trim());
  if (list.some((name) => dictionaryColumn(table, name) === undefined)) return null;
  return { as: "column", columns: list, ...(unit && { unit }) };
}

/** A decision as an answer would say it. */
export function answerFor(decision: Decision): string {
  switch (decision.as) {
    case "column":
      return `${decision.columns.join(", ")}${decision.unit ? ` ${decision.unit}` : ""}`;
    case "source":
      return decision.source;
    default:
      return `${decision.as}: ${decision.why}`;
  }
}

/** What an answer says of values: their codes, and those that it leaves open. */
export interface SaidCodes {
  codes: Record<string, string | number>;
  open: string[];
}

/**
 * Codes as an answer gives them: `1=alive; 2=dead`, a value with ";" or "=" in it in quotation
 * marks. A word that is a common way to write a code is taken for it. `null` where one is no code
 * of the column.
 */
export function codesOf(column: DictionaryColumn, answer: string): SaidCodes | null {
  const codes: Record<string, string | number> = {};
  const open: string[] = [];
  for (const part of partsOf(answer)) {
    const at = part.lastIndexOf("=");
    if (at < 1) return null;
    const [theirs, said] = [part.slice(0, at), part.slice(at + 1)]
      .map((side) => unquoted(side.trim())) as [string, string];
    if (/^open$/i.test(said)) {
      open.push(theirs);
      continue;
    }
    if (isNumeric(column) && column.type !== "binary") {
      if (!Number.isFinite(Number(said || NaN))) return null;
      codes[theirs] = Number(said);
      continue;
    }
    const code = codeFor(said, column);
    if (code === null) return null;
    codes[theirs] = column.type === "binary" ? Number(code) : code;
  }
  return { codes, open };
}

/** The parts between semicolons or commas, but for those in quotation marks. */
export function partsOf(answer: string, mark: ";" | "," = ";"): string[] {
  return (answer.match(new RegExp(`(?:"(?:[^"]|"")*"|[^${mark}"]|")+`, "g")) ?? [])
    .map((part) => part.trim()).filter((part) => part !== "");
}

/** What stands in quotation marks, without them; anything else as it is. */
export function unquoted(value: string): string {
  return /^".*"$/s.test(value) ? value.slice(1, -1).replaceAll('""', '"') : value;
}

/** A value in quotation marks, where it could be taken for more than one. */
export function quoted(value: string): string {
  return inQuotesIf(/[;="]/, value);
}

/** A name in quotation marks, where it could be taken for more than one. */
export function quotedName(name: string): string {
  return inQuotesIf(/[,;"]/, name);
}

function inQuotesIf(marks: RegExp, text: string): string {
  return marks.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** Codes as an answer would give them, then the values that stay open. */
export function answerForCodes(
  codes: Readonly<Record<string, string | number>>,
  open: readonly string[] = [],
): string {
  return [
    ...Object.entries(codes).map(([theirs, ours]) => `${quoted(theirs)}=${quoted(String(ours))}`),
    ...open.map((theirs) => `${quoted(theirs)}=open`),
  ].join("; ");
}
