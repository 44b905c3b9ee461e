import { signed, table, wrapped } from "../tables.ts";
import type { MixPerformance, PrintedPerformance } from "./performance.ts";

/** What is told of a table of results. */
export interface Told {
  title: string;
  /** Against what, after "Truth:". */
  truth: string;
  /** The program. */
  madeBy: string;
}

const ofPrinted: Told = {
  title: "Every printed quantity against its known truth",
  truth: "in the population of each result, from a great many simulated patients; for matched " +
    "pairs, shares at visits and years in each state, in the very patients of each cohort; for " +
    "rates, what they tend to",
  madeBy: "test/calibration/printed/calibrate-printed.ts",
};

/** `performance.md`: every printed quantity, one line each, in both mixes. */
export function performanceText(mixes: readonly MixPerformance[], told = ofPrinted): string {
  const parts = mixes.flatMap((mix) => [
    `## ${mix.mix === "demo" ? "The demonstration's case mix" : "A harder case mix"}`,
    wrapped(
      `${mix.cohorts} cohorts of ${mix.patients} patients from seed ${mix.firstSeed}: on average ${
        mix.eligible.toFixed(0)
      } are eligible, ${mix.deaths.toFixed(0)} die, ${
        percent(mix.incomplete)
      } % lack a covariate, and the smaller group is worth ${
        mix.effective.toFixed(0)
      } patients once weighted.`,
    ),
    table(
      ["Quantity", "Years", "Cohorts", "Truth", "Bias ± MC", "SD", "Mean SE", "Coverage, % ± MC"],
      mix.rows.map((row) => {
        const scale = scaleOf(row);
        return [
          `${row.quantity}, ${row.design}, ${row.population}: ${row.of}`,
          row.time === 0 ? "" : String(row.time),
          String(row.cohorts),
          signed(scale * row.truth, 2),
          `${signed(scale * row.bias, 2)} ± ${(scale * row.biasError).toFixed(2)}`,
          (scale * row.spread).toFixed(2),
          (scale * row.error).toFixed(2),
          `${percent(row.coverage)} ± ${percent(row.coverageError)}`,
        ];
      }),
    ),
  ]);
  return [
    `# ${told.title}`,
    wrapped(
      "Proportions are per 100 patients, ratios are logarithms, times are years; ± is Monte-Carlo " +
        `error. Truth: ${told.truth}. A quantity that is left out had too little for a number in ` +
        `more than half of the cohorts. Made by \`${told.madeBy}\`.`,
    ),
    ...parts,
  ].join("\n\n") + "\n";
}

/** Proportions are told per 100. */
function scaleOf({ quantity }: PrintedPerformance): number {
  return /^(log |years |late rate|ratio )/.test(quantity) ? 1 : 100;
}

function percent(share: number): string {
  return (100 * share).toFixed(1);
}
