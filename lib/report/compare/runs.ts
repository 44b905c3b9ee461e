import { inSentence } from "../../words/mod.ts";
import { comparedTable } from "./tables.ts";
import { planDifferences } from "./plans.ts";
import type { FinishedRun } from "./read.ts";
import type { FindingItem } from "../model/mod.ts";
import type { TableInput, TableRow } from "../show/mod.ts";

/** Two runs side by side: everything that differs between them. */
export interface Comparison {
  a: FinishedRun;
  b: FinishedRun;
  /** One sentence: which of inputs, plan, program, counts and estimates differ. */
  summary: string;
  inputs: TableInput;
  /** Versions that differ; `null` where none does. */
  versions: TableInput | null;
  plan: TableInput | null;
  /** Estimates with limits, of every finding of either run. */
  estimates: TableInput | null;
  /** The flow of patients, if it differs. */
  flow: TableInput | null;
  /** Runs that have no flow of patients, as one that stopped has none. */
  withoutFlow: ("A" | "B")[];
  /** Every other table that differs. */
  tables: TableInput[];
  /** Ids of tables that only one of them has, and how many are the same in both. */
  onlyA: string[];
  onlyB: string[];
  same: number;
  /** Figures that are not the same drawing. */
  figures: string[];
}

const flowIds = ["flow-table", "flow"];

/** Compares two finished runs: inputs, plan, versions, counts, estimates, tables, figures. */
export function compareRuns(a: FinishedRun, b: FinishedRun): Comparison {
  const shared = a.tables.flatMap((table) => {
    const other = b.tables.find(({ id }) => id === table.id);
    return other ? [{ id: table.id, compared: comparedTable(table, other) }] : [];
  });
  const different = shared.flatMap(({ compared }) => compared ?? []);
  const only = (one: FinishedRun, other: FinishedRun) =>
    one.tables.map(({ id }) => id).filter((id) => !other.tables.some((table) => table.id === id));
  const flow = different.find(({ id }) => flowIds.includes(id)) ?? null;
  const parts = {
    inputs: inputsTable(a, b),
    versions: versionsTable(a, b),
    plan: planTable(a, b),
    estimates: estimatesTable(a, b),
    flow,
    withoutFlow: ([["A", a], ["B", b]] as const).filter(([, run]) =>
      !run.tables.some(({ id }) => flowIds.includes(id))
    ).map(([letter]) => letter),
    tables: different.filter((table) => table !== flow),
    onlyA: only(a, b),
    onlyB: only(b, a),
    same: shared.length - different.length,
    figures: figuresThatDiffer(a, b),
  };
  return { a, b, summary: summaryOf(a, b, parts), ...parts };
}

function summaryOf(
  a: FinishedRun,
  b: FinishedRun,
  parts: Pick<
    Comparison,
    "inputs" | "versions" | "plan" | "flow" | "withoutFlow" | "tables" | "onlyA" | "onlyB"
  >,
): string {
  const rows = parts.inputs.rows.filter(({ same }) => same === "no").map(({ role }) => role);
  const data = rows.some((role) => role === "cohort" || role === "visits");
  const estimates = JSON.stringify(a.findings) !== JSON.stringify(b.findings);
  const tables = parts.tables.length + parts.onlyA.length + parts.onlyB.length > 0;
  const states: [string, boolean][] = [
    ["the data", data],
    ["the plan", parts.plan !== null],
    ["the program", parts.versions !== null || rows.includes("lock")],
    // of what neither run has, nothing can be said
    ...(parts.withoutFlow.length < 2
      ? [named("the flow of patients", parts.flow !== null || parts.withoutFlow.length === 1)]
      : []),
    ...(a.findings.length + b.findings.length > 0 ? [named("the main estimates", estimates)] : []),
    ["other tables", tables],
  ];
  const list = (wanted: boolean) => inWords(states.filter(([, is]) => is === wanted));
  if (states.every(([, differs]) => !differs)) return "The two runs are the same in everything.";
  if (states.every(([, differs]) => differs)) return "The two runs differ in everything compared.";
  return `What differs: ${list(true)}. What is the same: ${list(false)}.`;
}

function named(part: string, differs: boolean): [string, boolean] {
  return [part, differs];
}

function inWords(states: [string, boolean][]): string {
  const words = states.map(([word]) => word);
  const last = words.pop() ?? "";
  return words.length > 0 ? `${words.join(", ")} and ${last}` : last;
}

function inputsTable(a: FinishedRun, b: FinishedRun): TableInput {
  const roles = new Set([...a.manifest.inputs, ...b.manifest.inputs].map(({ role }) => role));
  const described = (run: FinishedRun, role: string) => {
    const input = run.manifest.inputs.find((one) => one.role === role);
    return input
      ? { name: input.name, hash: input.sha256.slice(0, 16), sha256: input.sha256 }
      : null;
  };
  return {
    id: "compared-inputs",
    title: "What went in",
    caption: "Files by name and the first 16 digits of their SHA-256.",
    columns: [
      { key: "role", label: "File" },
      { key: "a", label: "A" },
      { key: "hashA", label: "A, SHA-256" },
      { key: "b", label: "B" },
      { key: "hashB", label: "B, SHA-256" },
      { key: "same", label: "Same" },
    ],
    rows: [...roles].map((role) => {
      const [one, other] = [described(a, role), described(b, role)];
      return {
        role,
        a: one?.name ?? null,
        hashA: one?.hash ?? null,
        b: other?.name ?? null,
        hashB: other?.hash ?? null,
        same: one?.sha256 === other?.sha256 ? "yes" : "no",
      };
    }),
  };
}

function versionsTable(a: FinishedRun, b: FinishedRun): TableInput | null {
  const names = new Set([...Object.keys(a.manifest.versions), ...Object.keys(b.manifest.versions)]);
  const rows = [...names].map((name) => ({
    name,
    a: a.manifest.versions[name] ?? null,
    b: b.manifest.versions[name] ?? null,
  })).filter((row) => row.a !== row.b);
  return twoColumns(rows, {
    id: "compared-versions",
    title: "Versions",
    caption: "Programs and packages whose versions differ.",
    first: "Package",
  });
}

/** Another centre's file needs another mapping: how many fields of it differ is enough to know. */
const mostMappingLines = 12;

function planTable(a: FinishedRun, b: FinishedRun): TableInput | null {
  const differences = planDifferences(a.plan, b.plan);
  const isMapping = ({ field }: { field: string }) => field.startsWith("mapping.");
  const mapping = differences.filter(isMapping);
  const many = mapping.length > mostMappingLines;
  const rows: TableRow[] = differences.filter((line) => !many || !isMapping(line))
    .map(({ field, ...row }) => ({ name: field, ...row }));
  if (many) {
    const has = (run: "a" | "b") => `${mapping.filter((line) => line[run] !== null).length} fields`;
    rows.push({ name: "mapping (fields that differ)", a: has("a"), b: has("b") });
  }
  return twoColumns(rows, {
    id: "compared-plans",
    title: "The plan",
    caption: "Fields of the study file that differ, defaults filled in.",
    first: "Field",
  });
}

function twoColumns(
  rows: TableRow[],
  { first, ...heading }: { id: string; title: string; caption: string; first: string },
): TableInput | null {
  if (rows.length === 0) return null;
  const columns = [{ key: "name", label: first }, { key: "a", label: "A" }, {
    key: "b",
    label: "B",
  }];
  return {
    ...heading,
    columns: columns.map((column) => ({ ...column, kind: "text" as const })),
    rows,
  };
}

function estimatesTable(a: FinishedRun, b: FinishedRun): TableInput | null {
  const ids = [...new Set([...a.findings, ...b.findings].map(({ id }) => id))];
  if (ids.length === 0) return null;
  const line = (run: string, finding: FindingItem | undefined, id: string): TableRow => {
    const of = (value: { estimate: number; lower: number; upper: number }) => ({
      estimate: 100 * value.estimate,
      lower: 100 * value.lower,
      upper: 100 * value.upper,
    });
    const [first, second] = finding?.groups ?? [];
    const difference = finding && of(finding.difference);
    return {
      finding: run === "A" ? nameOf(finding, id) : "",
      run,
      years: finding?.horizon ?? null,
      first: first ? 100 * first.estimate : null,
      second: second ? 100 * second.estimate : null,
      difference: difference?.estimate ?? null,
      lower: difference?.lower ?? null,
      upper: difference?.upper ?? null,
      n: first && second ? [first.n, second.n].map((n) => n ?? "–").join(", ") : null,
    };
  };
  const number = { kind: "number" as const, digits: 1, unit: "per 100" };
  return {
    id: "compared-estimates",
    title: "Estimates with their limits",
    caption:
      "Repair, replacement, and repair minus replacement. That two intervals overlap does not say that two results agree, nor that they differ.",
    columns: [
      { key: "finding", label: "Result", kind: "text" },
      { key: "run", label: "Run", kind: "text" },
      { key: "years", label: "Years", kind: "number" },
      { key: "first", label: "Repair", ...number },
      { key: "second", label: "Replacement", ...number },
      { key: "difference", label: "Difference", ...number },
      { key: "lower", label: "from", kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
      { key: "n", label: "Patients", kind: "text", align: "right" },
    ],
    rows: ids.flatMap((id) => {
      const find = (run: FinishedRun) => run.findings.find((finding) => finding.id === id);
      const [one, other] = [find(a), find(b)];
      return [line("A", one, id), line("B", other, id)].map((row, i) =>
        i === 0 && !one ? { ...row, finding: nameOf(other, id) } : row
      );
    }),
  };
}

function nameOf(finding: FindingItem | undefined, id: string): string {
  if (!finding) return id;
  const among = finding.population ? `, ${inSentence(finding.population.label)}` : "";
  return `${finding.quantity}${among}, ${finding.design} (${id})`;
}

function figuresThatDiffer(a: FinishedRun, b: FinishedRun): string[] {
  const [one, other] = [a.manifest.outputs, b.manifest.outputs];
  const names = new Set([...Object.keys(one), ...Object.keys(other)]);
  return [...names].filter((path) => /^figures\//.test(path) && one[path] !== other[path])
    .map((path) => path.slice("figures/".length, -".svg".length)).sort();
}
