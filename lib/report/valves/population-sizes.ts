import { thresholdHolds } from "../../cohort/analysis/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { type Analysis, columnOf, hasColumn } from "../../cohort/model/mod.ts";
import { isSmall, publishableKinds, publishablePart } from "../../disclosure/mod.ts";
import { disjointPopulations, type Population } from "../../comparisons/populations/mod.ts";

/**
 * How many patients are in each population, as it may be published beside the others and beside the
 * table of characteristics: neither a population nor what is left when some are taken from another
 * is a small number, and where a population is made of kinds of a characteristic of which some are
 * few, its size is rounded, since with the others it would tell of how many they are.
 *
 * @returns One a population, in their order; the number of all eligible patients is told elsewhere.
 */
export function populationSizes(
  analysis: Analysis,
  populations: readonly Pick<Population, "rows">[],
): (number | string)[] {
  const { n, study: { smallestCell } } = analysis;
  const family = disjointPopulations(populations, n);
  const kinds = publishableKinds(family.map(({ rows }) => rows.length), { whole: n, smallestCell });
  const published = [n];
  const shown = new Map(family.map((one, k) => [one, kinds[k]!]));
  for (const value of kinds) if (typeof value === "number") published.push(value);
  for (const one of populations) {
    if (shown.has(one)) continue;
    const size = publishablePart(one.rows.length, published, smallestCell);
    shown.set(one, size);
    if (typeof size === "number") published.push(size);
  }
  const guarded = smallKinds(analysis);
  return populations.map((one) => {
    const size = shown.get(one)!;
    const told = typeof size === "number" && one.rows.length < n &&
      guarded.some((kind) => isUnion(one.rows, kind));
    if (!told) return size;
    const step = 2 * smallestCell;
    return `about ${Math.max(step, step * Math.round(size / step))}`;
  });
}

/** Of each characteristic with a kind that few of a group have: the kind of each patient. */
function smallKinds(analysis: Analysis): string[][] {
  const { study, treated, n } = analysis;
  const columns = [...new Set(study.adjustment.covariates.map(({ column }) => column))].filter((
    column,
  ) =>
    dictionaryColumn("patients", column, study.columns)?.categories && hasColumn(analysis, column)
  );
  const categories = columns.map((column) => Array.from(columnOf(analysis, column), String));
  const sides = study.thresholds.filter(({ column }) => hasColumn(analysis, column)).map(
    (threshold) => Array.from(thresholdHolds(analysis, threshold), String),
  );
  return [...categories, ...sides].filter((kind) => {
    const groups = [new Map<string, number>(), new Map<string, number>()];
    for (let row = 0; row < n; row++) {
      const counts = groups[treated[row]!]!;
      counts.set(kind[row]!, (counts.get(kind[row]!) ?? 0) + 1);
    }
    return groups.some((counts) =>
      [...counts.values()].some((count) => isSmall(count, study.smallestCell))
    );
  });
}

/** Whether these are all patients of some of the kinds, and nobody else. */
function isUnion(rows: Int32Array, kind: readonly string[]): boolean {
  const inside = new Set(rows);
  const taken = new Map<string, boolean>();
  return kind.every((one, row) => {
    const is = inside.has(row);
    if (!taken.has(one)) taken.set(one, is);
    return taken.get(one) === is;
  });
}
