import { looksLikeColumnName } from "../../cohort/cells/mod.ts";
import { type DictionaryColumn, dictionaryColumn, isNumeric } from "../../cohort/dictionary/mod.ts";
import type { Problem } from "../../cohort/model/mod.ts";
import { codeFor } from "../../cohort/propose/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { isJsonObject, lineOfPath } from "../../study/problems/mod.ts";

/** What would mend a problem if it were written in the study file. */
export interface ToWrite {
  /** What it says. */
  what: string;
  /** The part of the study file it belongs in. */
  part: string;
  /** Its line, or that of the nearest part around it that is there. */
  line: number;
  /** JSON to paste there: with the parts around it, where the study file has none. */
  json: string;
}

/**
 * What to write in the study file, and where, for a problem that the study file can mend: a column
 * that is not the dictionary's or is called otherwise, and values that are none of
 * a column's codes.
 *
 * @param listed The problems of one kind, the first of them among them.
 */
export function toWrite(
  study: Study,
  text: string,
  listed: readonly Pick<Problem, "table" | "rule" | "column" | "heading" | "value">[],
): ToWrite[] {
  const [problem] = listed;
  if (!problem) return [];
  const { table, rule, column, heading } = problem;
  const place = placer(text);
  if (rule === "unknown-column" && heading !== undefined) {
    // a heading that could be a value of somebody's is not repeated
    const shown = looksLikeColumnName(heading) ? heading : "its heading in your file";
    const own = {
      name: shown === heading ? ownName(heading) : "own_column",
      ...(table === "visits" && { table }),
      label: shown === heading ? heading : "what it is",
      type: "number",
      range: [0, 100],
      stage: "pre-operative",
    };
    const mapped = own.name === heading ? [] : [
      place("and then, for its name", ["mapping", table], shown, own.name),
    ];
    return [
      place("to leave it out", ["mapping", table], shown, { ignore: "why it is not used" }),
      place("to have it as a column of your own", [], "columns", [...study.columns, own]),
      ...mapped,
    ];
  }
  if (column === null) return [];
  if (rule === "missing-column") {
    return [place("to map it", ["mapping", table], "its heading in your file", column)];
  }
  const known = dictionaryColumn(table, column, study.columns);
  if (!known || (rule !== "code" && rule !== "number")) return [];
  const [name, source] =
    Object.entries(study.mapping[table]).find(([, one]) =>
      one === column || (typeof one === "object" && "column" in one && one.column === column)
    ) ?? [column, column];
  if (!looksLikeColumnName(name)) return [];
  const stated = typeof source === "object" && "column" in source ? source : { column };
  const values = [...new Set(listed.map(({ value }) => value ?? "what the file says"))];
  const added = Object.fromEntries(values.map((value) => [value, standsFor(value, known)]));
  const codes = { ...stated.codes, ...added };
  return [place("to say what they stand for", ["mapping", table], name, { ...stated, codes })];
}

/** Where in the study file a part goes that is written instead of what is there. */
export function writeInstead(
  text: string,
  { path, name, value }: { path: readonly string[]; name: string; value: unknown },
): ToWrite {
  return placer(text)("instead", path, name, value);
}

/**
 * The code a value is a common way to write; else the choices, which are no code until one is left.
 */
function standsFor(value: string, column: DictionaryColumn): string | number {
  if (isNumeric(column) && column.type !== "binary") return "the number it stands for";
  const code = codeFor(value, column);
  if (code !== null) return column.type === "binary" ? Number(code) : code;
  return `one of: ${(column.categories ?? []).map(({ code }) => code).join(", ")}`;
}

/** Says where a part goes, with the parts around it that the study file does not have. */
function placer(text: string) {
  const held: unknown = JSON.parse(text);
  return (what: string, path: readonly string[], name: string, json: unknown): ToWrite => {
    let at: unknown = held;
    const there: string[] = [];
    for (const key of path) {
      const next: unknown = isJsonObject(at) ? at[key] : undefined;
      if (!isJsonObject(next)) break;
      there.push(key);
      at = next;
    }
    const missing = path.slice(there.length);
    const [outer = name, ...inner] = [...missing, name];
    const whole = inner.reduceRight<unknown>((value, key) => ({ [key]: value }), json);
    return {
      what,
      part: there.join(".") || "the study file",
      line: lineOfPath(text, [...there, outer]),
      json: `${JSON.stringify(outer)}: ${JSON.stringify(whole)}`,
    };
  };
}

/** A heading as a name that a column of the study's own may have. */
function ownName(heading: string): string {
  const plain = heading.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "_")
    .replace(/^[^a-z]+|_+$/g, "");
  return plain === "" ? "own_column" : plain;
}
