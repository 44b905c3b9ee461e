import type { TableName } from "../dictionary/mod.ts";
import { type Considered, type Decision, sourceKinds } from "./consider/mod.ts";

/** A heading as it is shown to the person: what it is taken for, and why. */
export interface ShownHeading {
  table: TableName;
  heading: string;
  /** Its commonest values; none where the heading says that they identify people. */
  values: string;
  /** What it is taken for; null where it is like nothing known. */
  meaning: string | null;
  unit: string;
  codes: string;
  confidence: number;
  reasons: string[];
  /** Taken so unasked; only its values asked about; or asked about. */
  asked: "nothing" | "values" | "heading";
}

const mostValues = 5;
const mostCodes = 6;

/** A heading as it is shown, on the terminal or on a page: the same of both. */
export function shownHeading(table: TableName, one: Considered): ShownHeading {
  const { profile, decision, confidence, reasons, identifies = false } = one;
  const values = [...profile.values].sort((a, b) => b[1] - a[1]).slice(0, mostValues)
    .map(([value, count]) => count > 1 ? `${value} (${count})` : value).join(", ");
  const column = decision?.as === "column" ? decision : null;
  const codes = Object.entries(column?.codes ?? {});
  return {
    table,
    heading: profile.heading,
    values: identifies ? "not shown" : `${values}${profile.values.size > mostValues ? ", …" : ""}`,
    meaning: decision === null ? null : meaningOf(decision),
    unit: column?.unit ?? "",
    codes: codes.slice(0, mostCodes).map(([theirs, ours]) => `${theirs}=${ours}`).join(", ") +
      (codes.length > mostCodes ? ", …" : ""),
    confidence,
    reasons,
    asked: one.sure ? "nothing" : one.valuesOnly ? "values" : "heading",
  };
}

/** The same as one line. */
export function headingLine(shown: ShownHeading): string {
  const { heading, values, meaning, unit, codes, confidence, reasons } = shown;
  const what = `${meaning ?? "?"}${unit === "" ? "" : ` in ${unit}`}${
    codes === "" ? "" : ` (${codes})`
  }`;
  return `“${heading}” [${values}] -> ${what}, confidence ${confidence.toFixed(2)}${
    reasons.length > 0 ? `: ${reasons.join("; ")}` : ""
  }`;
}

/** What a decision says a heading is, without unit and codes. */
export function meaningOf(decision: Decision): string {
  if (decision.as === "source") return sourceKinds[decision.source];
  if (decision.as !== "column") return `${decision.as} (${decision.why})`;
  return decision.columns.join(" and ");
}
