import assert from "node:assert/strict";
import {
  doublyRobustSurvival,
  expectedTimeDifference,
  groupHazardRatio,
  groupRatioByPeriod,
  incidenceDifference,
  pairedOutcome,
  pairedTest,
  permutationTest,
  proportionOverTime,
  rateRatio,
  restrictedMeanDifference,
  SeededRandom,
  standardizedSurvival,
  subgroupDifference,
  survivalDifference,
  transitionRows,
  twoHazardRatios,
  welchTest,
} from "mitral";
import { assertClose } from "../close.ts";

interface Limited {
  estimate?: number;
  hazardRatio?: number;
  difference?: number;
  lower?: number;
  upper?: number;
}

/**
 * One contrast, along a reference (by default the first in order), and what its
 * direction is called.
 */
interface Case {
  name: string;
  references: [string | number, string | number];
  scale: "difference" | "ratio";
  of(reference: never): { direction: string; value: Limited };
}

const random = new SeededRandom(31);
const n = 120;
const time = Float64Array.from({ length: n }, () => 0.1 + 6 * random.uniform());
const event = Int32Array.from({ length: n }, () => [0, 1, 1, 2][random.integer(4)]!);
const died = event.map((one) => one > 0 ? 1 : 0);
const coded = Int32Array.from({ length: n }, (_, i) => i % 2);
const group = Array.from(coded, (code) => code === 1 ? "repair" : "replacement");
const inside = Float64Array.from({ length: n }, (_, i) => i % 3 === 0 ? 1 : 0);
const a = [4, 5, 6.5, 7];
const b = [1, 2, 3, 9];
const standardized = { time, event: died, treated: coded, covariates: {} };
const states = transitionRows({ time, death: event.map((one) => one === 2 ? 1 : 0), stages: {} });
const visits = {
  subject: Array.from({ length: 4 * n }, (_, i) => i >> 2),
  time: Float64Array.from({ length: 4 * n }, () => 6 * random.uniform()),
  outcome: Int32Array.from({ length: 4 * n }, () => random.uniform() < 0.4 ? 1 : 0),
  group: Array.from({ length: 4 * n }, (_, i) => group[i >> 2]!),
};
const labels: [string, string] = ["repair", "replacement"];
const codes: [number, number] = [0, 1];

const cases: Case[] = [
  {
    name: "survivalDifference",
    references: labels,
    scale: "difference",
    of(reference) {
      const [one] = survivalDifference({ time, event: died, group }, { times: [2], reference });
      return { direction: one!.direction, value: one!.difference };
    },
  },
  {
    name: "incidenceDifference, its ratio",
    references: labels,
    scale: "ratio",
    of(reference) {
      const [one] = incidenceDifference({ time, event, group }, {
        cause: 1,
        times: [2],
        reference,
      });
      return { direction: one!.direction, value: one!.ratio };
    },
  },
  {
    name: "restrictedMeanDifference",
    references: labels,
    scale: "difference",
    of(reference) {
      const data = { time, event: died, group };
      const { direction, difference } = restrictedMeanDifference(data, { horizon: 4, reference });
      return { direction, value: difference };
    },
  },
  {
    name: "restrictedMeanDifference, its ratio",
    references: labels,
    scale: "ratio",
    of(reference) {
      const data = { time, event: died, group };
      const { direction, ratio } = restrictedMeanDifference(data, { horizon: 4, reference });
      return { direction, value: ratio };
    },
  },
  {
    name: "groupHazardRatio",
    references: codes,
    scale: "ratio",
    of(reference) {
      const one = groupHazardRatio({ time, event: died, group: coded }, { reference });
      return { direction: one.direction, value: one };
    },
  },
  {
    name: "groupRatioByPeriod",
    references: codes,
    scale: "ratio",
    of(reference) {
      const data = { time, event: died, group: coded };
      const { direction, periods } = groupRatioByPeriod(data, { cuts: [2], reference });
      return { direction, value: periods[1]! };
    },
  },
  ...[0, 1].map((k): Case => ({
    name: `twoHazardRatios, ${k}`,
    references: codes,
    scale: "ratio",
    of(reference) {
      const one = twoHazardRatios({ time, event, group: coded }, { cause: 1, reference })[k]!;
      return { direction: one.direction, value: one };
    },
  })),
  {
    name: "expectedTimeDifference",
    references: labels,
    scale: "difference",
    of(reference) {
      const own = Array.from(states.subject, (subject) => group[Number(subject)]!);
      const [one] = expectedTimeDifference({ ...states, group: own }, { horizon: 3, reference });
      return { direction: one!.direction, value: one!.difference };
    },
  },
  {
    name: "standardizedSurvival",
    references: codes,
    scale: "difference",
    of(reference) {
      const [one] = standardizedSurvival(standardized, { times: [2], reference }).contrasts;
      return { direction: one!.direction, value: one!.difference };
    },
  },
  {
    name: "doublyRobustSurvival",
    references: codes,
    scale: "difference",
    of(reference) {
      const [one] = doublyRobustSurvival(standardized, { times: [2], reference }).contrasts;
      return { direction: one!.direction, value: one!.difference };
    },
  },
  {
    name: "proportionOverTime",
    references: labels,
    scale: "difference",
    of(reference) {
      const { direction, estimate, lower, upper } = proportionOverTime(visits, {
        times: [3],
        reference,
      }).difference!;
      return { direction, value: { estimate: estimate[0]!, lower: lower[0]!, upper: upper[0]! } };
    },
  },
  {
    name: "subgroupDifference",
    references: labels,
    scale: "difference",
    of(reference) {
      const options = { cause: 1, time: 2, reference, assignments: 19 };
      const { interaction } = subgroupDifference({ time, event, group }, inside, options);
      const direction = interaction.direction.replace(/^\((.*)\) inside - outside$/, "$1");
      return { direction, value: interaction };
    },
  },
  {
    name: "pairedOutcome",
    references: ["control", "treated"],
    scale: "difference",
    of(reference) {
      const pair = Array.from({ length: n }, (_, i) => i >> 1);
      const one = pairedOutcome({ time, event: died, treated: coded, pair }, { at: 2, reference });
      return { direction: one.direction, value: one.difference };
    },
  },
  {
    name: "rateRatio",
    references: ["b", "a"],
    scale: "ratio",
    of(reference) {
      const one = rateRatio({ events: 9, exposure: 812 }, { events: 21, exposure: 1050 }, {
        reference,
      });
      return { direction: one.direction, value: one };
    },
  },
  ...[welchTest, pairedTest].map((test): Case => ({
    name: test.name,
    references: ["b", "a"],
    scale: "difference",
    of(reference) {
      const one = test(a, b, { reference });
      return { direction: one.direction, value: one };
    },
  })),
  {
    name: "permutationTest",
    references: ["b", "a"],
    scale: "difference",
    of(reference) {
      const one = permutationTest(a, b, { reference });
      return { direction: one.direction, value: { difference: one.difference } };
    },
  },
];

for (const { name, references, scale, of } of cases) {
  Deno.test(`${name} says its direction, and turns round with the reference`, () => {
    const usual = of(undefined as never);
    const [first, second] = references.map((reference) => of(reference as never));
    assert.deepEqual(first, usual);
    const sign = scale === "ratio" ? "/" : "-";
    const [low, high] = references;
    const along = (a: string | number, b: string | number) => [
      `${a} ${sign} ${b}`,
      `${a} - ${b}`,
    ];
    assert.ok(along(high, low).includes(usual.direction), usual.direction);
    assert.ok(along(low, high).includes(second!.direction), second!.direction);
    const back = (value: number | undefined) =>
      value === undefined ? undefined : scale === "ratio" ? 1 / value : -value;
    for (const key of ["estimate", "hazardRatio", "difference"] as const) {
      if (usual.value[key] !== undefined) assertClose(second!.value[key]!, back(usual.value[key])!);
    }
    if (usual.value.lower === undefined) return;
    assertClose(second!.value.lower!, back(usual.value.upper)!);
    assertClose(second!.value.upper!, back(usual.value.lower)!);
    assert.throws(() => of("neither" as never), /reference must be one of/);
  });
}
