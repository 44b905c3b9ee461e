import type { ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import { publishableKinds } from "../../disclosure/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/**
 * Who is in each arm of each comparison, how many patients' worth of information is left after
 * weighting, and how alike the arms were made.
 */
export function techniqueArmsTable(
  heading: TableHeading,
  compared: readonly ComparisonAnswer[],
  { smallestCell }: { smallestCell: number },
): DisplayTable {
  const warned = compared.flatMap(({ comparison, answers }) =>
    answers && answers.design.notes.length > 0
      ? [`${comparison.label}: ${answers.design.notes.join(" ")}`]
      : []
  );
  return table({
    ...heading,
    notes: [...heading.notes ?? [], ...warned],
    columns: [
      { key: "comparison", label: "Comparison", kind: "text" },
      { key: "arm", label: "Arm", kind: "text" },
      { key: "status", label: "Status", kind: "text" },
      { key: "patients", label: "Patients", kind: "number" },
      { key: "effective", label: "Effective number", kind: "number", digits: 0 },
      { key: "before", label: "Largest difference before", kind: "number", digits: 2 },
      { key: "after", label: "After", kind: "number", digits: 2 },
      { key: "why", label: "Why no comparison", kind: "text" },
    ],
    rows: compared.flatMap(({ comparison, answers, why }) => {
      const design = answers?.design;
      const shown = shownArms(comparison, design, smallestCell);
      const largest = (of: "before" | "after") =>
        design?.[of] ? Math.max(...design[of].rows.map(({ largestOfAll }) => largestOfAll)) : null;
      return comparison.arms.map((arm, k) => {
        const effective = design?.after?.arms.find((one) => one.arm === arm.id)?.effective ?? 0;
        return {
          comparison: comparison.label,
          arm: arm.label,
          status: comparison.planned ? "planned" : "exploratory",
          patients: design ? shown[k]! : null,
          effective: effective < smallestCell ? null : Math.round(effective),
          before: largest("before"),
          after: largest("after"),
          why: why || (design?.shortOf.join("; ") ?? ""),
        };
      });
    }),
  });
}

/** How many patients each arm of a comparison has, as it may be published. */
export function shownArms(
  { arms }: ComparisonAnswer["comparison"],
  design: NonNullable<ComparisonAnswer["answers"]>["design"] | undefined,
  smallestCell: number,
): (number | string)[] {
  const counts = arms.map(({ id }) => design?.counts.arm.filter((arm) => arm === id).length ?? 0);
  const whole = counts.reduce((sum, count) => sum + count, 0) + (design?.counts.none ?? 0) +
    (design?.counts.undecided ?? 0);
  return publishableKinds(counts, { whole, smallestCell });
}
