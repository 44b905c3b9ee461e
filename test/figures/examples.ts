import { balanceFigure } from "../../lib/figures/balance-figure.ts";
import type { Figure } from "../../lib/figures/figure.ts";
import { flowFigure } from "../../lib/figures/flow-figure.ts";
import { incidenceFigure } from "../../lib/figures/incidence-figure.ts";
import { propensityFigure } from "../../lib/figures/propensity-figure.ts";
import { survivalFigure } from "../../lib/figures/survival-figure.ts";
import { SeededRandom } from "../../lib/numerics/random.ts";
import {
  inventedDifference,
  inventedIncidence,
  inventedScores,
  inventedSurvival,
} from "./invented.ts";

/** Every figure once or more, from invented results. */
export function examples(): Figure[] {
  return [...curveExamples(), ...designExamples()];
}

function curveExamples(): Figure[] {
  const repair = inventedSurvival({ n: 412, rate: 0.06, seed: 1 });
  const replacement = inventedSurvival({ n: 398, rate: 0.085, seed: 2 });
  const recurrence = {
    repair: inventedIncidence({ n: 412, rate: 0.12, share: 0.5, seed: 3 }),
    replacement: inventedIncidence({ n: 398, rate: 0.09, share: 0.1, seed: 4 }),
  };
  const incidence = [
    { label: "Repair", curve: recurrence.repair, freedom: repair },
    { label: "Replacement", curve: recurrence.replacement, freedom: replacement },
  ];
  const causes = [
    { cause: 1, label: "Recurrent regurgitation" },
    { cause: 2, label: "Death before recurrence" },
  ];
  return [
    survivalFigure({
      id: "survival-matched",
      title: "Alive after operation, matched pairs",
      groups: [{ label: "Repair", curve: repair }, { label: "Replacement", curve: replacement }],
      horizon: 10,
      confidence: 0.95,
    }),
    survivalFigure({
      id: "survival-few",
      title: "Alive after operation, a small subgroup",
      groups: [
        { label: "Repair", curve: inventedSurvival({ n: 38, rate: 0.1, seed: 5, until: 9 }) },
        { label: "Replacement", curve: inventedSurvival({ n: 31, rate: 0.1, seed: 6, until: 7 }) },
      ],
      horizon: 8,
      difference: { curve: inventedDifference({ until: 6, seed: 7 }) },
    }),
    survivalFigure({
      id: "survival-four",
      title: "Alive after operation, by tethering & <group>",
      groups: [0, 1, 2, 3].map((k) => ({
        label: [
          "Repair, tethering up to 10 mm",
          "Replacement, tethering up to 10 mm",
          "Repair, more",
          "<b>Other</b> & more",
        ][k]!,
        role: (["repair", "replacement", "third", "fourth"] as const)[k]!,
        curve: inventedSurvival({ n: 1400 - 300 * k, rate: 0.07 + 0.004 * k, seed: 20 + k }),
      })),
      horizon: 12,
    }),
    incidenceFigure({
      id: "recurrence-matched",
      title: "Recurrence, and death before it",
      groups: incidence.map(({ label, curve }) => ({ label, curve })),
      causes,
      horizon: 10,
    }),
    incidenceFigure({
      id: "recurrence-beside-freedom",
      title: "Freedom from recurrence beside its cumulative incidence",
      groups: incidence,
      causes: causes.slice(0, 1),
      horizon: 10,
      width: 960,
    }),
  ];
}

function designExamples(): Figure[] {
  const random = new SeededRandom(11);
  const names = [
    "Age",
    "Female",
    "Left ventricular end-diastolic dimension",
    "Ejection fraction",
    "Tethering",
    "Interpapillary distance",
    "Atrial fibrillation",
    "Estimated glomerular filtration rate",
    "Diabetes",
    "Functional class III or IV",
    "Previous cardiac operation",
    "Chronic lung disease",
  ];
  const scores = inventedScores(12);
  return [
    balanceFigure({
      id: "balance",
      title: "How alike the groups were made",
      samples: ["Everyone", "Matched", "Weighted"],
      rows: names.map((label) => ({
        label,
        differences: [0.35 * random.normal(), 0.05 * random.normal(), 0.03 * random.normal()],
      })),
      directions: ["Higher with replacement", "Higher with repair"],
    }),
    propensityFigure({
      id: "propensity",
      title: "Where the groups overlap",
      groups: [{ label: "Repair", ...scores.repair }, {
        label: "Replacement",
        ...scores.replacement,
      }],
    }),
    propensityFigure({
      id: "propensity-plain",
      title: "Where the groups overlap",
      groups: [
        { label: "Repair", score: scores.repair.score },
        { label: "Replacement", score: scores.replacement.score },
      ],
      smallestCell: 1,
    }),
    flowFigure({
      id: "flow",
      title: "Who was studied",
      start: { label: "Patients in the file", count: 1803 },
      steps: [
        {
          excluded: [
            { label: "Row without a usable time or procedure", count: 3 },
          ],
          remaining: { label: "Operations on the mitral valve, first in the file", count: 1800 },
        },
        {
          excluded: [
            { label: "Emergency or salvage operation", count: 64 },
            { label: "Active endocarditis", count: 41 },
            { label: "Only mild regurgitation before operation", count: 12 },
          ],
          remaining: { label: "Eligible, taken as intended", count: 1683 },
        },
      ],
      groups: [
        {
          label: "Repair",
          count: 988,
          lines: ["41 left theatre with a replacement", "612 matched"],
        },
        { label: "Replacement", count: 695, lines: ["612 matched"] },
      ],
    }),
  ];
}
