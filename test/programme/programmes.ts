import type { SeededRandom } from "mitral";

/** Surgeons' shares of the operations, and how many they had done before the series began. */
const shares = { S1: 22, S2: 18, S3: 14, S4: 13, S5: 11, S6: 9, S7: 8, S8: 3, S9: 2 };

/** A simulated programme: an outcome such as a repair given up, by surgeons of known skill. */
export interface Programme {
  outcome: Uint8Array;
  unit: string[];
  covariates: { hard: Float64Array; redo: Float64Array };
  /** Operations the surgeon had done before each one. */
  experience: Float64Array;
  /** Years since the series began. */
  year: Float64Array;
  /** True chance of the outcome. */
  chance: Float64Array;
}

/**
 * Draws a programme of nine surgeons, invented: harder cases go to the busier surgeons, so that
 * crude rates mislead.
 *
 * @param options.outlier One surgeon's true log odds ratio.
 * @param options.learning What a beginner's log odds add, falling in a line to 0 over `cases`.
 */
export function programme(
  random: SeededRandom,
  options: {
    n?: number;
    base?: number;
    spread?: number;
    outlier?: { unit: string; logOdds: number };
    learning?: { logOdds: number; cases: number };
    perYear?: number;
  },
): Programme {
  const { n = 1000, base = -1, spread = 0, learning, outlier, perYear = 0 } = options;
  const codes = Object.keys(shares);
  const weights = Object.values(shares);
  const own = codes.map((code) =>
    spread * random.normal() + (code === outlier?.unit ? outlier.logOdds : 0)
  );
  const done = codes.map(() => 0);
  const made: Programme = {
    outcome: new Uint8Array(n),
    unit: [],
    covariates: { hard: new Float64Array(n), redo: new Float64Array(n) },
    experience: new Float64Array(n),
    year: new Float64Array(n),
    chance: new Float64Array(n),
  };
  for (let i = 0; i < n; i++) {
    const s = random.choice(weights);
    const hard = random.normal() + 0.5 - 0.1 * s;
    const redo = random.bernoulli(0.15);
    const before = done[s]!++;
    const year = 14 * i / n;
    const left = learning ? Math.max(0, 1 - before / learning.cases) * learning.logOdds : 0;
    const logOdds = base + 0.7 * hard + 0.5 * redo + own[s]! + left + perYear * year;
    const chance = 1 / (1 + Math.exp(-logOdds));
    made.unit.push(codes[s]!);
    made.covariates.hard[i] = hard;
    made.covariates.redo[i] = redo;
    made.experience[i] = before;
    made.year[i] = year;
    made.chance[i] = chance;
    made.outcome[i] = random.bernoulli(chance);
  }
  return made;
}

/** Share of values below a mark. */
export function shareBelow(values: number[], mark: number): number {
  return values.filter((value) => value < mark).length / values.length;
}
