import type { ProcedureTable } from "../../cohort/model/mod.ts";
import { differenceColumns, hundredfold, type ShownContrast } from "../pair-tables/mod.ts";
import { boundedCount, isSmall } from "../../disclosure/mod.ts";
import {
  type DisplayTable,
  type GroupLabels,
  table,
  type TableHeading,
  type TableRow,
} from "../show/mod.ts";

/** One comparison, with the groups taken the one way or the other. */
export interface IntentionLine {
  /** How the groups were taken. */
  by: "intended" | "final";
  /** The design and whom it speaks of. */
  method: string;
  /** Of the analysis with the groups so taken. */
  procedures: ProcedureTable;
  /** Both groups and their difference. */
  contrast: ShownContrast;
}

/**
 * The same comparison by intended and by final procedure, with the patients of either group who
 * were converted.
 *
 * As intended, a converted patient stays in the group that was meant; as final, in the one that
 * came of it. Where one direction of conversion is too rare to publish, the sizes of the final
 * groups would give it away and are left out.
 */
export function intentionTable(
  heading: TableHeading & {
    labels: GroupLabels;
    smallestCell: number;
    confidence: number;
  },
  lines: readonly IntentionLine[],
): DisplayTable {
  const { labels, smallestCell, confidence, ...rest } = heading;
  const rows = lines.map(({ by, method, procedures, contrast }): TableRow => {
    const { repairRepair, repairReplacement, replacementRepair } = procedures;
    const { replacementReplacement } = procedures;
    const [toRepair, toReplacement] = by === "intended"
      ? [repairReplacement, replacementRepair]
      : [replacementRepair, repairReplacement];
    const rare = [toRepair, toReplacement].some((count) => isSmall(count, smallestCell));
    const size = (same: number, converted: number) =>
      by === "final" && rare ? null : boundedCount(same + converted, smallestCell);
    return {
      by: by === "intended" ? "as intended" : "as it ended",
      method,
      repair: size(repairRepair, toRepair),
      repairConverted: boundedCount(toRepair, smallestCell),
      replacement: size(replacementReplacement, toReplacement),
      replacementConverted: boundedCount(toReplacement, smallestCell),
      ...hundredfold(contrast.difference),
      p: contrast.difference.pValue,
    };
  });
  return table({
    ...rest,
    columns: [
      { key: "by", label: "Groups taken" },
      { key: "method", label: "Method" },
      { key: "repair", label: labels.repair, kind: "number" },
      { key: "repairConverted", label: "of them converted", kind: "number" },
      { key: "replacement", label: labels.replacement, kind: "number" },
      { key: "replacementConverted", label: "of them converted", kind: "number" },
      ...differenceColumns(confidence),
    ],
    rows,
  });
}
