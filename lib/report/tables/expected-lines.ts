import { type Analysis, numericColumn, textColumn } from "../../cohort/model/mod.ts";
import {
  expectedSurvival,
  observedToExpected,
  readLifeTable,
} from "../../survival/population/mod.ts";
import type { ExpectedLine } from "./expected-table.ts";

/**
 * Deaths of each group against those of people of the same age, sex and year in the life table that
 * the plan names; nothing where it names none. Patients of a sex that the life table does not list
 * are left out, and so is a group without any. Limits allow for patients who differ.
 *
 * @param followUp Deaths of everybody in the analysis, a row a patient.
 * @throws {DataError} as `readLifeTable` and `observedToExpected`.
 */
export async function expectedLines(
  analysis: Analysis,
  followUp: { time: Float64Array; event: Int32Array },
): Promise<ExpectedLine[]> {
  const { study, groups: { labels }, treated } = analysis;
  if (!study.lifeTablePath) return [];
  const lifeTable = readLifeTable(await Deno.readTextFile(study.lifeTablePath));
  const age = numericColumn(analysis, "age");
  const sex = textColumn(analysis, "sex");
  const year = numericColumn(analysis, "op_year");
  return ([[1, labels.repair], [0, labels.replacement]] as const).flatMap(([code, group]) => {
    const rows = sex.flatMap((value, row) =>
      treated[row] === code && lifeTable.sexes.includes(value) ? [row] : []
    );
    if (rows.length === 0) return [];
    const of = (column: ArrayLike<number>) => rows.map((row) => column[row] ?? NaN);
    const people = { age: of(age), sex: rows.map((row) => sex[row] ?? ""), year: of(year) };
    const { observed, expected, estimate, ofAll } = observedToExpected(
      lifeTable,
      { ...people, time: of(followUp.time), event: of(followUp.event) },
      { confidence: study.confidence },
    );
    const [usual = NaN] = expectedSurvival(lifeTable, people, [study.mainHorizon]).survival;
    return [{ group, observed, expected, ratio: estimate, ...ofAll, usual }];
  });
}
