import { smallIncidenceFigure } from "../../../lib/figures/over-time/small-incidence-figure.ts";
import { incidenceFigure } from "../../../lib/figures/over-time/incidence-figure.ts";
import { survivalFigure } from "../../../lib/figures/over-time/survival-figure.ts";
import { drawn, type Example } from "./relabelled.ts";
import { inventedDifference, inventedIncidence, inventedSurvival } from "./invented.ts";

export function curveExamples(): Example[] {
  const repair = inventedSurvival({ n: 412, rate: 0.06, seed: 1 });
  const replacement = inventedSurvival({ n: 398, rate: 0.085, seed: 2 });
  const recurrence = {
    repair: inventedIncidence({ n: 412, rate: 0.12, share: 0.5, seed: 3 }),
    replacement: inventedIncidence({ n: 398, rate: 0.09, share: 0.1, seed: 4 }),
  };
  const incidence = [
    { label: "Repair", curve: recurrence.repair },
    { label: "Replacement", curve: recurrence.replacement },
  ];
  const causes = [
    { cause: 1, label: "Recurrent regurgitation" },
    { cause: 2, label: "Death before recurrence" },
  ];
  return [
    drawn(survivalFigure, {
      id: "survival-matched",
      title: "Alive after operation, matched pairs",
      groups: [{ label: "Repair", curve: repair }, { label: "Replacement", curve: replacement }],
      horizon: 10,
      confidence: 0.95,
    }),
    drawn(survivalFigure, {
      id: "survival-few",
      title: "Alive after operation, a small subgroup",
      groups: [
        { label: "Repair", curve: inventedSurvival({ n: 38, rate: 0.1, seed: 5, until: 9 }) },
        { label: "Replacement", curve: inventedSurvival({ n: 31, rate: 0.1, seed: 6, until: 7 }) },
      ],
      horizon: 8,
      difference: { curve: inventedDifference({ until: 6, seed: 7 }) },
    }),
    drawn(survivalFigure, {
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
    drawn(incidenceFigure, {
      id: "recurrence-matched",
      title: "Recurrence, and death before it",
      groups: incidence,
      causes,
      horizon: 10,
    }),
    drawn(smallIncidenceFigure, {
      id: "recurrence-small",
      title: "Recurrence in each population",
      frames: ["Everyone", "Secondary regurgitation with tethering or a large ventricle", "Other"]
        .map((label) => ({ label, curves: incidence.map(({ curve }) => curve) })),
      groups: [{ label: "Repair" }, { label: "Replacement" }],
      horizon: 10,
    }),
    drawn(incidenceFigure, {
      id: "recurrence-wide",
      title: "Recurrence beside death before it, each on its own scale",
      groups: incidence,
      causes,
      scales: "own",
      horizon: 10,
      width: 960,
    }),
  ];
}
