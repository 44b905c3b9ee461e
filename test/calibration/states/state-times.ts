// Limits of the years spent in each state, on courses drawn from known hazards:
//   deno run --allow-read --allow-write=test/calibration --allow-sys \
//     test/calibration/states/state-times.ts [--sets 1000]
// Writes results.md beside it. A minute.
import { parseArgs } from "node:util";
import { distributions, expectedTimeDifference, SeededRandom } from "mitral";
import { table, wrapped } from "../tables.ts";
import { type CourseMix, drawCourses, type Kind, stages, trueTimes } from "./courses.ts";

const { values } = parseArgs({ options: { sets: { type: "string", default: "1000" } } });
const sets = Number(values.sets);
const horizon = 5;
const seed = 11;
const z = distributions.normalUpperQuantile(0.025);

const kind = (
  share: number,
  weight: [number, number],
  [recurrence, again, againAfter, death]: [number, number, number, number],
): Kind => ({ share, weight, hazards: { recurrence, again, againAfter, death } });

/** Replacement first; the sicker kind weighs otherwise than the fitter. Invented. */
const mixes: CourseMix[] = [
  {
    name: "States that many reach",
    n: [600, 1000],
    complete: 0.6,
    kinds: [
      [
        kind(0.5, [0.1, 0.9], [0.02, 0.006, 0.1, 0.03]),
        kind(0.5, [0.05, 0.5], [0.05, 0.01, 0.1, 0.08]),
      ],
      [
        kind(0.6, [0.1, 0.6], [0.05, 0.006, 0.1, 0.03]),
        kind(0.4, [0.2, 0.9], [0.12, 0.01, 0.1, 0.08]),
      ],
    ],
  },
  {
    name: "As rare as in the demonstration",
    n: [600, 1000],
    complete: 0.6,
    kinds: [
      [
        kind(0.5, [0.1, 0.9], [0.002, 0.004, 0.05, 0.03]),
        kind(0.5, [0.05, 0.5], [0.006, 0.006, 0.05, 0.08]),
      ],
      [
        kind(0.6, [0.1, 0.6], [0.03, 0.002, 0.1, 0.03]),
        kind(0.4, [0.2, 0.9], [0.08, 0.004, 0.1, 0.08]),
      ],
    ],
  },
  {
    name: "Fewer patients, weights further apart",
    n: [300, 480],
    complete: 0.5,
    kinds: [
      [
        kind(0.5, [0.02, 0.95], [0.002, 0.003, 0.05, 0.03]),
        kind(0.5, [0.02, 0.4], [0.006, 0.006, 0.05, 0.06]),
      ],
      [
        kind(0.6, [0.02, 0.5], [0.02, 0.002, 0.1, 0.03]),
        kind(0.4, [0.1, 0.95], [0.06, 0.004, 0.1, 0.06]),
      ],
    ],
  },
  {
    name: "States that hardly anyone reaches",
    n: [150, 200],
    complete: 0.5,
    kinds: [
      [kind(1, [0.02, 0.95], [0.002, 0.002, 0.05, 0.04])],
      [kind(1, [0.02, 0.95], [0.02, 0.004, 0.1, 0.03])],
    ],
  },
];

const parts = mixes.flatMap((mix) => [
  `## ${mix.name}`,
  `${mix.n[0]} patients after a replacement, ${mix.n[1]} after a repair.`,
  table(
    [
      "Years in state",
      "Truth",
      "Mean",
      "Plain limits hold it, %",
      "Our limits, %",
      "Truth below",
      "Above",
    ],
    coverageOf(mix),
  ),
]);
Deno.writeTextFileSync(
  new URL("results.md", import.meta.url),
  [
    "# Years spent in each state",
    wrapped(
      `Of the first ${horizon} years, in ${sets} sets of data a mix from seed ${seed}, drawn from ` +
        "constant hazards of two kinds of patients, so that the truth is known exactly. Plain limits are " +
        "the estimate and 1.96 standard errors either way. Monte-Carlo error of a coverage near 95 %: " +
        `${(100 * Math.sqrt(0.95 * 0.05 / sets)).toFixed(1)}. Made by ` +
        "`test/calibration/states/state-times.ts`.",
    ),
    ...parts,
  ].join("\n\n") + "\n",
);

function coverageOf(mix: CourseMix): string[][] {
  const truth = mix.kinds.map((kinds) => trueTimes(kinds, horizon));
  const random = new SeededRandom(seed);
  const rows = stages.flatMap((state, k) => [
    { of: `${state}, replacement`, truth: truth[0]![k]! },
    { of: `${state}, repair`, truth: truth[1]![k]! },
    { of: `${state}, repair - replacement`, truth: truth[1]![k]! - truth[0]![k]! },
  ]).map((row) => ({ ...row, sum: 0, plain: 0, below: 0, above: 0 }));
  for (let set = 0; set < sets; set++) {
    const { rows: data, states } = drawCourses(random, mix, horizon);
    const found = expectedTimeDifference(data, { horizon, states }).slice(0, stages.length);
    found.flatMap(({ groups, difference }) => [...groups, difference]).forEach((one, place) => {
      const row = rows[place]!;
      row.sum += one.estimate;
      if (Math.abs(one.estimate - row.truth) <= z * one.standardError) row.plain++;
      if (row.truth < one.lower) row.below++;
      if (row.truth > one.upper) row.above++;
    });
  }
  const percent = (count: number) => (100 * count / sets).toFixed(1);
  return rows.map(({ of, truth, sum, plain, below, above }) => [
    of,
    truth.toFixed(3),
    (sum / sets).toFixed(3),
    percent(plain),
    percent(sets - below - above),
    percent(below),
    percent(above),
  ]);
}
