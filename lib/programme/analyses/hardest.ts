import { proportionInterval } from "../../regression/rates/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import type { ProgrammeComplexity } from "./complexity.ts";
import { profilesOf } from "./referral.ts";

/** How many of one kind of patients are among those ranked hardest. */
export interface HardestType {
  /** Name of the kind. */
  type: string;
  /** Patients of this kind. */
  n: number;
  /** Of these, among the hardest; whole patients, those of one rank shared out evenly. */
  among: number;
  /** Share of the kind that is among the hardest, with Wilson limits. */
  rate: { estimate: number; lower: number; upper: number };
  /** Share of the hardest that are of this kind. */
  shareOfHardest: number;
  /** Share of all patients that are of this kind. */
  shareOfAll: number;
}

/**
 * The kinds of patients that make up the hardest, ranked by scores made without them: most of the
 * hardest first. Patients of one rank count as the part of them that falls within the share.
 *
 * @param options.share Of all patients, 0.2.
 */
export function hardestTypes(
  { analysis, n }: ProgrammeOperations,
  { predicted }: ProgrammeComplexity,
  options: { share?: number } = {},
): HardestType[] {
  const { share = 0.2 } = options;
  const part = partWithin(predicted, share * n);
  const kinds = Map.groupBy(profilesOf(analysis).entries(), ([, type]) => type);
  return [...kinds].map(([type, members]) => {
    const within = members.reduce((sum, [row]) => sum + part[row]!, 0);
    const among = Math.round(within);
    return {
      type,
      n: members.length,
      among,
      rate: proportionInterval(among, members.length, {
        confidence: analysis.study.confidence,
      }),
      shareOfHardest: within / (share * n),
      shareOfAll: members.length / n,
    };
  }).sort((a, b) => b.shareOfHardest - a.shareOfHardest || b.n - a.n);
}

/** Of each row, the part that lies within so many of the highest scores; ties alike. */
function partWithin(score: Float64Array, count: number): Float64Array {
  const ranks = [...Map.groupBy(score.keys(), (row) => score[row]!)].sort(([a], [b]) => b - a);
  const part = new Float64Array(score.length);
  let left = count;
  for (const [, rows] of ranks) {
    const each = Math.max(0, Math.min(1, left / rows.length));
    for (const row of rows) part[row] = each;
    left -= rows.length;
  }
  return part;
}
