import { type CompletedSets, mixing, setsForPrecision } from "../../missing/mod.ts";
import { formatPercent } from "../../words/mod.ts";

// Above this, chains still tell where they began (common practice, no source).
const settled = 1.1;

/**
 * Whether the chains went on from where they began, and whether there were sets enough for an
 * estimate whose information was missing to that extent.
 */
export function setsSentence(
  { imputed, sets }: CompletedSets,
  pooled: { difference: object },
): string {
  if (!imputed || imputed.iterations < 4) return "Nothing was imputed, or with few iterations.";
  const unsettled = mixing(imputed).filter(({ shrinkage }) => shrinkage > settled);
  const chains = unsettled.length === 0
    ? "Every chain has forgotten where it began."
    : `Chains of ${
      unsettled.map(({ name }) => name).join(", ")
    } still tell where they began: plan ` +
      "more iterations.";
  const { difference } = pooled;
  const missing = "fractionMissing" in difference ? Number(difference.fractionMissing) : NaN;
  if (!(missing >= 0 && missing <= 1)) return chains;
  const enough = setsForPrecision(missing) <= sets;
  return `${chains} Of the information on the main difference ${
    missing < 0.01 ? "less than 1%" : formatPercent(missing, { digits: 0 })
  } was missing; for that there are ${enough ? "" : "not "}sets enough.`;
}
