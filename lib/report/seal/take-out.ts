import { noValue } from "../../words/mod.ts";
import type { ShownItem } from "../items/mod.ts";
import type { CellOutput, NotebookRun } from "../notebooks/mod.ts";
import { displayHook, mitralMediaType, table } from "../show/mod.ts";
import type { Place } from "../reading/mod.ts";
import { withoutSentences } from "./without-sentences.ts";

type TableShown = Extract<ShownItem, { kind: "table" }>;

/** Runs without some numbers: cells become a dash, drawings and sentences one that says why. */
export function withoutPlaces(
  runs: readonly NotebookRun[],
  places: readonly Place[],
): NotebookRun[] {
  const cells = Map.groupBy(
    places.flatMap((place) => "table" in place ? [place] : []),
    ({ table }) => table,
  );
  const figures = new Set(places.flatMap((place) => "figure" in place ? [place.figure] : []));
  const findings = new Set(places.flatMap((place) => "finding" in place ? [place.finding] : []));
  const sentences = places.flatMap((place) => "sentence" in place ? [place.sentence.text] : []);
  const sealed = (output: CellOutput): CellOutput => {
    if (output.type !== "display" && output.type !== "result") return output;
    const { item } = output;
    if (item?.kind === "table" && cells.has(item.id)) {
      const withheld = withoutCells(item, cells.get(item.id)!);
      return { ...output, item: withheld, bundle: table(withheld)[displayHook]() };
    }
    if (item?.kind === "finding" && findings.has(item.id)) {
      const [first, second] = item.groups.map(({ n: _, ...rest }) => rest);
      const kept = { ...item, groups: [first!, second!] as const };
      return { ...output, item: kept, bundle: { ...output.bundle, [mitralMediaType]: kept } };
    }
    if (item?.kind !== "figure" || !figures.has(item.id)) return output;
    const { item: _, ...rest } = output;
    const why = `The figure “${item.title}” is withheld: read together with the tables, it would ` +
      "give away a count too small to be published.";
    return { ...rest, bundle: { "text/plain": why } };
  };
  return runs.map((run) => {
    const taken = { ...run, outputs: run.outputs.map((cell) => cell.map(sealed)) };
    return sentences.length > 0 ? withoutSentences(taken, sentences) : taken;
  });
}

/** A share goes with its limits, from which it would follow. */
function withoutCells(
  item: TableShown,
  places: readonly { row: number; key: string }[],
): TableShown {
  const rows = item.rows.map((row, at) => {
    const keys = new Set(places.flatMap((place) => place.row === at ? [place.key] : []));
    if (["share", "lower", "upper"].some((key) => keys.has(key))) {
      for (const key of ["share", "lower", "upper"]) if (key in row) keys.add(key);
    }
    if (keys.size === 0) return row;
    return Object.fromEntries(
      Object.entries(row).map(([key, value]) => [
        key,
        keys.has(key) ? (typeof value === "string" ? noValue : null) : value,
      ]),
    );
  });
  return {
    ...item,
    rows,
    notes: [
      ...item.notes ?? [],
      "Dashes: other numbers, with these, would give away a count too small to be published.",
    ],
  };
}
