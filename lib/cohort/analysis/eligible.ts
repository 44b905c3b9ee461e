import { DataError } from "../../numerics/mod.ts";
import { type EligibilityRule, groupPhrases } from "../../study/plan/mod.ts";
import { completionsOf } from "./completed-analyses.ts";
import type { Study } from "../../study/file/mod.ts";
import { dictionaryColumn } from "../dictionary/mod.ts";
import {
  heldAt,
  type HeldColumn,
  lazyOf,
  publishedColumn,
  publishedColumns,
  stillHeld,
  textAt,
  withLazy,
} from "../cells/mod.ts";
import { ruleHolds } from "./rule-holds.ts";
import {
  type Analysis,
  type Arm,
  type Cohort,
  columnAt,
  columnOf,
  type Columns,
  type Exclusion,
  type FlowStep,
  hasColumn,
  lazyColumns,
  numericColumn,
  type ProcedureTable,
  textColumn,
  type Visits,
} from "../model/mod.ts";

/** One reason to exclude: whether it holds for a row, or cannot be told. */
interface Screen {
  id: string;
  reason: string;
  verdict: (row: number) => "exclude" | "keep" | "undecided";
}

/**
 * Chooses the patients of the analysis by the study's rules, in their order, and counts every step.
 *
 * Before the rules, patients whose identity, group or follow-up cannot be told are excluded and
 * counted. Each patient is excluded once, by the first rule that applies; a rule that cannot be
 * applied because the value is missing excludes nobody and says how many it could not decide. At
 * each step excluded + remaining = remaining before, which is asserted.
 *
 * Time zero is the operation. The groups are taken as intended or as final, as the study says; one
 * who dies in theatre is in the analysis with a follow-up of 0.
 *
 * @example
 * ```ts
 * import { openStudy, readCohort, selectEligible } from "mitral";
 * const study = await openStudy();
 * const cohort = await readCohort(study);
 * const analysis = selectEligible(cohort, study);
 * analysis.flow.at(-1)?.remaining === analysis.n; // true
 * ```
 * @throws {DataError} if a rule or the groups need a column that the cohort does not have.
 */
export function selectEligible(cohort: Cohort, study: Study): Analysis {
  const screens: Screen[] = [
    {
      id: "invalid-value",
      reason: "identity, group or follow-up cannot be told from the row",
      verdict: (row) => cohort.invalid[row] ? "exclude" : "keep",
    },
    ...study.eligibility.map((rule) => screenOf(cohort, rule)),
    ...groupScreens(cohort, study),
  ];
  const flow: FlowStep[] = [
    { id: "everyone", reason: "in the file", excluded: 0, remaining: cohort.n, undecided: 0 },
  ];
  const excluded: Exclusion[] = [];
  const held = heldIds(cohort);
  const idOf = (row: number) => held ? textAt(held, row) : cohort.ids[row] ?? "";
  let rows = Int32Array.from({ length: cohort.n }, (_, row) => row);
  for (const { id, reason, verdict } of screens) {
    const before = rows.length;
    let undecided = 0;
    const removed = excluded.length;
    rows = rows.filter((row) => {
      const decision = verdict(row);
      if (decision === "undecided") undecided++;
      if (decision !== "exclude") return true;
      excluded.push({ id: idOf(row), step: id, reason });
      return false;
    });
    const count = excluded.length - removed;
    if (count + rows.length !== before) throw new Error(`patients lost at ${id}`);
    // the check of validity is shown only where it excludes somebody
    if (count === 0 && id === "invalid-value") continue;
    flow.push({ id, reason, excluded: count, remaining: rows.length, undecided });
  }
  if (rows.length + excluded.length !== cohort.n) throw new Error("patients lost at eligibility");
  return analysisOf(cohort, study, rows, { flow, excluded });
}

function screenOf(cohort: Cohort, rule: EligibilityRule): Screen {
  const { oneOf, below = -Infinity, above = Infinity, missing } = rule.exclude;
  const column = columnOf(cohort, rule.column);
  const wanted = new Set<string | number>(oneOf);
  const verdict: Screen["verdict"] = (row) => {
    const value = column[row];
    if (value === undefined || value === "" || Number.isNaN(value)) {
      return missing ? "exclude" : hasOther(rule) ? "undecided" : "keep";
    }
    if (wanted.has(value)) return "exclude";
    return typeof value === "number" && (value < below || value > above) ? "exclude" : "keep";
  };
  return { id: rule.id, reason: rule.reason, verdict };
}

/** Where rules make the groups: those of neither are not compared. */
function groupScreens(cohort: Cohort, study: Study): Screen[] {
  const { rules, repair, replacement } = study.groups;
  if (!rules) return [];
  const first = ruleHolds(cohort, rules.repair, study);
  const second = ruleHolds(cohort, rules.replacement, study);
  return [{
    id: "no-group",
    reason: `neither in "${repair}" nor in "${replacement}", or not known`,
    verdict: (row) => {
      if (first[row] === 1 && second[row] === 1) {
        throw new DataError("groups.rules", "at most one rule to hold for a patient", "both");
      }
      return first[row] === 1 || second[row] === 1 ? "keep" : "exclude";
    },
  }];
}

function hasOther(rule: EligibilityRule): boolean {
  return Object.keys(rule.exclude).some((key) => key !== "missing");
}

/** An analysis of some rows of a cohort, or of an analysis. */
export function analysisOf(
  cohort: Pick<Cohort, "ids" | "columns" | "visits"> & Pick<Analysis, "completions">,
  study: Study,
  rows: Int32Array,
  selection: Pick<Analysis, "flow" | "excluded">,
): Analysis {
  const columns = columnsIn(cohort.columns, rows);
  const treated = treatedOf({ n: rows.length, columns }, study);
  const repair = treated.reduce((sum, one) => sum + one, 0);
  return withIds(cohort, rows, {
    n: rows.length,
    rows,
    columns,
    ...(cohort.completions && { completions: completionsOf(cohort.completions, rows) }),
    treated,
    groups: {
      by: study.groups.by,
      labels: { repair: study.groups.repair, replacement: study.groups.replacement },
      phrases: groupPhrases(study.groups),
      counts: { repair, replacement: rows.length - repair },
    },
    visits: visitsOf(cohort.visits, rows),
    procedures: proceduresOf(columns),
    ...selection,
    study,
  });
}

/** What is of some rows of a cohort, with their pseudonyms, which wait to be asked for. */
function withIds<Of extends object>(
  cohort: Pick<Cohort, "ids">,
  rows: Int32Array,
  of: Of,
): Of & { ids: string[] } {
  const held = heldIds(cohort);
  if (!held) return { ...of, ids: Array.from(rows, (row) => cohort.ids[row] ?? "") };
  const columns = publishedColumns(new Map([["ids", { column: held, rows }]]));
  return withLazy(of, columns, ["ids"]) as Of & { ids: string[] };
}

/** Pseudonyms as a cohort still holds them, where nobody has asked for them yet. */
function heldIds(cohort: object): HeldColumn | undefined {
  const still = stillHeld(lazyOf(cohort) ?? {}, "ids");
  return still && heldAt(still);
}

/** Some of a cohort's patients, with their visits; what was found in the files is as it was. */
export function cohortAmong(cohort: Cohort, rows: Int32Array): Cohort {
  const { problems, log } = cohort;
  return withIds(cohort, rows, {
    n: rows.length,
    columns: columnsIn(cohort.columns, rows),
    visits: visitsOf(cohort.visits, rows),
    invalid: Uint8Array.from(rows, (row) => cohort.invalid[row] ?? 0),
    problems,
    log,
  });
}

function treatedOf(of: { n: number; columns: Columns }, study: Study): Uint8Array {
  const { by, rules } = study.groups;
  if (rules) return Uint8Array.from(ruleHolds(of, rules.repair, study), (holds) => +(holds === 1));
  const procedure = textColumn(of, by);
  return Uint8Array.from(procedure, (value) => value === "repair" ? 1 : 0);
}

function visitsOf(visits: Visits, rows: Int32Array): Visits {
  const offsets = new Int32Array(rows.length + 1);
  rows.forEach((row, i) => {
    offsets[i + 1] = (offsets[i] ?? 0) + (visits.offsets[row + 1] ?? 0) -
      (visits.offsets[row] ?? 0);
  });
  const count = offsets[rows.length] ?? 0;
  const kept = new Int32Array(count);
  rows.forEach((row, i) => {
    const first = visits.offsets[row] ?? 0;
    for (let at = offsets[i] ?? 0, k = 0; at < (offsets[i + 1] ?? 0); at++, k++) {
      kept[at] = first + k;
    }
  });
  const own = lazyColumns(
    new Map([
      ["day", () => columnAt(visits.day, kept)],
      ["mr", () => columnAt(visits.mr, kept)],
    ]),
  );
  return {
    count,
    offsets,
    get day() {
      return numericColumn({ columns: own }, "day");
    },
    get mr() {
      return numericColumn({ columns: own }, "mr");
    },
    columns: columnsIn(visits.columns, kept),
  };
}

/** Columns in some rows, each made when it is asked for. */
function columnsIn(columns: Columns, rows: Int32Array): Columns {
  return lazyColumns(
    new Map(
      Object.keys(columns).map((name) => [name, () => {
        // of what nobody has asked the cohort for, only these rows are made
        const still = stillHeld(columns, name);
        if (still && !still.rows) return publishedColumn(heldAt({ ...still, rows }));
        return columnAt(columnOf({ columns }, name), rows);
      }]),
    ),
  );
}

function proceduresOf(columns: Columns): ProcedureTable {
  const intended = textColumn({ columns }, "intended");
  const final = textColumn({ columns }, "final");
  const reasons = hasColumn({ columns }, "convert_reason")
    ? textColumn({ columns }, "convert_reason")
    : [];
  const counts = {
    repair: { repair: 0, replacement: 0 },
    replacement: { repair: 0, replacement: 0 },
  };
  const conversions = new Map<string, ProcedureTable["conversions"][number]>();
  const labels = dictionaryColumn("patients", "convert_reason")?.categories ?? [];
  intended.forEach((value, row) => {
    const from: Arm = value === "repair" ? "repair" : "replacement";
    const to: Arm = final[row] === "repair" ? "repair" : "replacement";
    counts[from][to]++;
    if (from === to) return;
    const reason = reasons[row] ?? "";
    const key = `${from} ${reason}`;
    const entry = conversions.get(key);
    if (entry) entry.count++;
    else {
      const label = labels.find(({ code }) => code === reason)?.label ?? "not recorded";
      conversions.set(key, { intended: from, final: to, reason, label, count: 1 });
    }
  });
  return {
    repairRepair: counts.repair.repair,
    repairReplacement: counts.repair.replacement,
    replacementRepair: counts.replacement.repair,
    replacementReplacement: counts.replacement.replacement,
    conversions: [...conversions.values()].sort((a, b) =>
      b.count - a.count || (a.reason < b.reason ? -1 : a.reason > b.reason ? 1 : 0)
    ),
  };
}
