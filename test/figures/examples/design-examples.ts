import { balanceFigure } from "../../../lib/figures/patients/balance-figure.ts";
import { flowFigure } from "../../../lib/figures/patients/flow-figure.ts";
import { populationBalanceFigure } from "../../../lib/figures/patients/population-balance-figure.ts";
import { propensityFigure } from "../../../lib/figures/patients/propensity-figure.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { drawn, type Example } from "./relabelled.ts";
import { inventedScores } from "./invented.ts";

export function designExamples(): Example[] {
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
    drawn(populationBalanceFigure, {
      id: "populations-balance",
      title: "How alike the groups were made in each population",
      populations: [
        { label: "Degenerative", before: [0.42, 0.2, 0.05], after: [0.01, 0.03, 0] },
        { label: "Secondary", before: [0.6, 0.31, 0.02], after: [0.04, 0.12, 0.01] },
      ],
    }),
    drawn(balanceFigure, {
      id: "balance",
      title: "How alike the groups were made",
      samples: ["Everyone", "Matched", "Weighted"],
      rows: names.map((label) => ({
        label,
        differences: [0.35 * random.normal(), 0.05 * random.normal(), 0.03 * random.normal()],
      })),
      directions: ["Higher with replacement", "Higher with repair"],
    }),
    drawn(propensityFigure, {
      id: "propensity",
      title: "Where the groups overlap",
      groups: [{ label: "Repair", ...scores.repair }, {
        label: "Replacement",
        ...scores.replacement,
      }],
    }),
    drawn(propensityFigure, {
      id: "propensity-plain",
      title: "Where the groups overlap",
      groups: [
        { label: "Repair", score: scores.repair.score },
        { label: "Replacement", score: scores.replacement.score },
      ],
      smallestCell: 1,
    }),
    drawn(flowFigure, {
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
