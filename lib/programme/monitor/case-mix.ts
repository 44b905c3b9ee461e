import { checkNumber, DataError, numberColumn, type Numbers, orderOf } from "../../numerics/mod.ts";
import { riskColumn } from "./risk-column.ts";
import { checkOddsRatio } from "./risk-adjusted-cusum.ts";

/** Operations among which the next one is drawn, and what the chart looks for. */
export interface ChartedMix {
  /** Risks of failure, strictly between 0 and 1: one a kind of operation, or one an operation. */
  expected: Numbers;
  /** How often each of them comes, in any unit; alike if left out. */
  share?: Numbers;
  /** Odds ratio that the chart is to find. */
  oddsRatio: number;
  /** Odds ratio that holds in truth, 1 if the risks are right. */
  trueOddsRatio?: number;
}

// Kinds of operation told apart: 50 changed no run length by more than 1e-3 (see the tests).
const KINDS = 50;

/** A checked case mix: shares sum to 1. */
export interface CaseMix {
  risk: Float64Array;
  share: Float64Array;
  oddsRatio: number;
  trueOddsRatio: number;
}

/** Checks a case mix. @throws {DataError} */
export function caseMix(given: ChartedMix): CaseMix {
  const risk = riskColumn("expected", given.expected);
  const n = risk.length;
  if (n === 0) throw new DataError("expected", "at least one risk", given.expected);
  const asked = given.share === undefined
    ? new Float64Array(n).fill(1)
    : numberColumn("share", given.share, { length: n, min: 0 });
  const total = asked.reduce((sum, value) => sum + value, 0);
  if (!(total > 0)) throw new DataError("share", "above 0 for some risk", total);
  const oddsRatio = checkOddsRatio(given.oddsRatio);
  const trueOddsRatio = checkNumber(
    "trueOddsRatio",
    given.trueOddsRatio ?? 1,
    (ratio) => ratio > 0 && ratio < Infinity,
    "a finite number > 0",
  );
  const share = asked.map((value) => value / total);
  return { ...gathered(risk, share), oddsRatio, trueOddsRatio };
}

/** Chance of a failure where the odds are `trueOddsRatio` times those of the risk. */
export function chanceOfFailure(risk: number, trueOddsRatio: number): number {
  return trueOddsRatio * risk / (1 - risk + trueOddsRatio * risk);
}

/**
 * At most `KINDS` kinds of operation, neighbours in risk, of equal share and with their mean risk.
 */
function gathered(risk: Float64Array, share: Float64Array): Pick<CaseMix, "risk" | "share"> {
  const alike = Map.groupBy(risk.keys(), (row) => risk[row]!);
  if (alike.size <= KINDS) {
    const rows = [...alike.values()];
    return {
      risk: Float64Array.from(alike.keys()),
      share: Float64Array.from(rows, (same) => same.reduce((sum, row) => sum + share[row]!, 0)),
    };
  }
  const size = new Float64Array(KINDS);
  const sum = new Float64Array(KINDS);
  let before = 0;
  for (const row of orderOf(risk)) {
    const kind = Math.min(KINDS - 1, Math.floor(KINDS * (before + share[row]! / 2)));
    size[kind]! += share[row]!;
    sum[kind]! += share[row]! * risk[row]!;
    before += share[row]!;
  }
  const held = [...size.keys()].filter((kind) => size[kind]! > 0);
  return {
    risk: Float64Array.from(held, (kind) => sum[kind]! / size[kind]!),
    share: Float64Array.from(held, (kind) => size[kind]!),
  };
}
