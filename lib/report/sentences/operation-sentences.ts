import { type Analysis, hasColumn, textColumn } from "../../cohort/model/mod.ts";
import { publishableShare } from "../../disclosure/mod.ts";
import { per100, roundTo } from "../../words/mod.ts";

/**
 * What was done, in a sentence with whole patients of 100: rings in the repairs, chords spared and
 * mechanical valves in the replacements, and operations that ended as another than was meant. What
 * the file does not have, or what would tell of too few, is left out; "" where nothing is left.
 */
export function operationSentence(
  analysis: Pick<Analysis, "n" | "columns" | "study" | "procedures">,
): string {
  const { procedures: done, study: { smallestCell } } = analysis;
  const share = (part: number, whole: number) => {
    const of = publishableShare(part, whole, smallestCell);
    return of === null ? null : roundTo(per100(of), 0);
  };
  const coded = (column: string, codes: readonly string[]) => {
    if (!hasColumn(analysis, column)) return null;
    const known = textColumn(analysis, column).filter((code) => code !== "");
    return share(known.filter((code) => codes.includes(code)).length, known.length);
  };
  const ring = coded("ring_type", ["rigid", "semirigid", "flexible", "band"]);
  const spared = coded("chordal_sparing", ["posterior", "complete"]);
  const mechanical = coded("prosthesis", ["mechanical"]);
  const repairs = done.repairRepair + done.repairReplacement;
  const converted = share(done.repairReplacement, repairs);
  const replaced = [
    spared === null ? "" : `${spared} kept chords to the leaflets`,
    mechanical === null ? "" : `${mechanical} had a mechanical valve`,
  ].filter((words) => words !== "").join(" and ");
  return [
    ring === null ? "" : `Of 100 valves repaired, ${ring} had a ring or band.`,
    replaced === "" ? "" : `Of 100 valves replaced, ${replaced}.`,
    converted === null
      ? ""
      : `Of 100 repairs that were meant, ${converted} ended as a replacement.`,
  ].filter((words) => words !== "").join(" ");
}
