import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { planSchema } from "../../study/plan/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { basename } from "../notebooks/mod.ts";

/**
 * The plan as it leaves with a report, defaults filled in: files by name only, and the codes of
 * surgeons and patients counted, since a file may have names for them.
 */
export function publishedPlan(study: Study): Record<string, unknown> {
  // a study holds more than its plan: where its files are
  const plan = Object.fromEntries(
    Object.keys(planSchema.shape).filter((key) => key in study && key !== "$schema")
      .map((key) => [key, study[key as keyof typeof study]]),
  );
  const named = (files: Record<string, unknown>) =>
    Object.fromEntries(
      Object.entries(files).map((
        [role, file],
      ) => [role, typeof file === "string" ? basename(file) : file]),
    );
  const files = {
    ...named(study.files),
    ...(study.files.others && { others: named(study.files.others) }),
  };
  const { mapping } = study;
  const counted = (table: "patients" | "visits") =>
    Object.fromEntries(
      Object.entries(mapping[table]).map(([source, becomes]) => {
        if (typeof becomes === "string" || !("codes" in becomes)) return [source, becomes];
        const type = dictionaryColumn(table, becomes.column, study.columns)?.type;
        if (type !== "code" && type !== "identifier") return [source, becomes];
        const count = Object.keys(becomes.codes ?? {}).length;
        return [source, { ...becomes, codes: `${count}, not published` }];
      }),
    );
  return {
    ...plan,
    files,
    notebooks: study.notebooks.map((entry) => basename(entry)),
    mapping: { ...mapping, patients: counted("patients"), visits: counted("visits") },
    programme: {
      ...study.programme,
      doneBefore: `${Object.keys(study.programme.doneBefore).length} surgeons, not published`,
    },
  };
}
