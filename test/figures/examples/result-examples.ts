import { calibrationFigure } from "../../../lib/figures/estimates/calibration-figure.ts";
import { curveFigure } from "../../../lib/figures/estimates/curve-figure.ts";
import { datingFigure } from "../../../lib/figures/over-time/dating-figure.ts";
import { forestFigure } from "../../../lib/figures/estimates/forest-figure.ts";
import { funnelFigure } from "../../../lib/figures/estimates/funnel-figure.ts";
import { pathsFigure } from "../../../lib/figures/estimates/paths-figure.ts";
import { gradeFigure } from "../../../lib/figures/over-time/grade-figure.ts";
import {
  imputationFigure,
  type ImputedPanel,
} from "../../../lib/figures/patients/imputation-figure.ts";
import { stackedStatesFigure } from "../../../lib/figures/over-time/stacked-states-figure.ts";
import { visitFigure } from "../../../lib/figures/over-time/visit-figure.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { drawn, type Example } from "./relabelled.ts";
import { inventedPaths } from "./invented.ts";

export function resultExamples(): Example[] {
  const random = new SeededRandom(31);
  const effect = (estimate: number, half: number) => ({
    estimate,
    lower: estimate / half,
    upper: estimate * half,
  });
  const counts = (
    a: number,
    b: number,
  ) => [`Repair ${a} of ${4 * a}`, `Replacement ${b} of ${3 * b}`];
  const time = Float64Array.from({ length: 60 }, (_, i) => (i + 1) / 6);
  const recurred = time.map((t) => 0.28 * (1 - Math.exp(-0.3 * t)) * Math.exp(-0.03 * t));
  const reoperated = time.map((t) => 0.05 * (1 - Math.exp(-0.2 * t)));
  const died = time.map((t) => 0.62 * (1 - Math.exp(-0.09 * t)));
  const well = time.map((_, i) => 1 - recurred[i]! - reoperated[i]! - died[i]!);
  const dimension = Float64Array.from({ length: 60 }, (_, i) => 45 + i * 0.6);
  const risk = (shift: number) => dimension.map((d) => 1 / (1 + Math.exp(-(d - 68 + shift) / 6)));
  const band = (column: Float64Array, sign: number) =>
    column.map((p, i) => p + sign * (0.03 + 0.0016 * Math.abs(i - 25)));
  const curve = (label: string, column: Float64Array) => ({
    label,
    x: dimension,
    estimate: column,
    lower: band(column, -1),
    upper: band(column, 1),
  });
  const visits = (n: number) =>
    Array.from({ length: n }, () => {
      const planned = [0.1, 0.5, 1, 2, 3, 4, 5, 7, 9][random.integer(9)]!;
      return Math.abs(planned + 0.15 * random.normal() * (1 + planned / 3));
    });
  const volume = Float64Array.from({ length: 60 }, (_, i) => 12 + 5 * i);
  const limit = (z: number, sign: number) =>
    volume.map((n) => Math.min(1, Math.max(0, 0.62 + sign * z * Math.sqrt(0.62 * 0.38 / n))));
  return [
    drawn(imputationFigure, {
      id: "imputed",
      title: "Values drawn where none was recorded",
      columns: ["Systolic pulmonary artery pressure, mmHg", "Tethering, mm"].map((
        label,
        k,
      ): ImputedPanel => ({
        label,
        known: k === 0 ? [32, 41, 52] : [6.2, 8, 9.8],
        drawn: k === 0 ? [34, 44, 55] : [6, 7.9, 9.9],
        traces: Array.from(
          { length: 8 },
          () =>
            Float64Array.from(
              { length: 10 },
              () => k === 0 ? 45 + random.normal() : 8 + 0.2 * random.normal(),
            ),
        ),
      })),
    }),
    drawn(pathsFigure, {
      id: "paths-few",
      title: "Alive at 5 years, by 12 paths",
      ...inventedPaths(12),
    }),
    drawn(pathsFigure, {
      id: "paths-many",
      title: "Failure of the valve within 5 years, by 120 paths",
      ...inventedPaths(120),
      smallestDifference: 0.05,
      directions: ["More failures: replacement", "More failures: repair"],
    }),
    drawn(forestFigure, {
      id: "subgroups",
      title: "Death after repair against replacement, by subgroup",
      scale: "ratio",
      axisLabel: "Hazard ratio of death",
      directions: ["Fewer with repair", "More with repair"],
      overall: { label: "All matched pairs", ...effect(0.84, 1.19), counts: counts(150, 190) },
      sections: [
        {
          label: "Tethering",
          source: "10 mm: expert criterion, not found in these data",
          interaction: "Interaction p = 0.21",
          rows: [
            { label: "Up to 10 mm", ...effect(0.74, 1.28), counts: counts(80, 112) },
            { label: "More than 10 mm", ...effect(1.08, 1.42), counts: counts(70, 78) },
          ],
        },
        {
          label: "End-diastolic dimension",
          source: "65 mm: published, one series of 87 patients",
          interaction: "Interaction p = 0.04",
          rows: [
            { label: "Up to 65 mm", ...effect(0.7, 1.2), counts: counts(90, 140) },
            { label: "More than 65 mm, few patients", ...effect(1.5, 6.5), counts: counts(9, 8) },
          ],
        },
      ],
    }),
    drawn(forestFigure, {
      id: "analyses",
      title: "Difference in survival at 5 years by analysis",
      scale: "difference",
      axisLabel: "Difference, per 100 patients",
      groups: ["Repair", "Replacement"],
      directions: ["More alive: replacement", "More alive: repair"],
      margin: 0.05,
      overall: {
        label: "Everybody",
        estimate: 0.031,
        lower: -0.018,
        upper: 0.08,
        risks: ["84.2%", "81.1%"],
        counts: ["1,683 patients"],
      },
      sections: [{
        label: "Ways of making the groups alike",
        rows: [
          {
            label: "Weighted, overlap",
            estimate: 0.028,
            lower: -0.012,
            upper: 0.068,
            risks: ["83.9%", "81.1%"],
          },
          {
            label: "Unadjusted",
            estimate: 0.112,
            lower: 0.081,
            upper: 0.143,
            risks: ["88.0%", "76.8%"],
          },
          { label: "Instrument", estimate: NaN, lower: NaN, upper: NaN },
        ],
      }],
    }),
    drawn(stackedStatesFigure, {
      id: "states",
      title: "States after operation",
      states: ["Alive, no recurrence", "Alive with recurrence", "Alive after reoperation", "Died"],
      groups: ["Repair", "Replacement"].map((label) => ({
        label,
        time,
        occupancy: [well, recurred, reoperated, died],
      })),
      horizon: 10,
    }),
    drawn(gradeFigure, {
      id: "grades",
      title: "Regurgitation at each visit",
      grades: ["None or trace", "Mild", "Moderate", "Moderate to severe", "Severe"],
      groups: ["Repair", "Replacement"].map((label, g) => ({
        label,
        visits: ["Exit", "1 y", "2 y", "3 y", "5 y"].map((visit, v) => {
          const parts = [
            0.7 - 0.1 * v,
            0.2 + 0.02 * v,
            0.06 + 0.04 * v,
            0.03 + 0.03 * v,
            0.01 * (v + 1),
          ];
          const sum = parts.reduce((a, b) => a + b, 0);
          return {
            label: visit,
            n: g === 1 && v === 4 ? 6 : 940 - 190 * v,
            proportions: parts.map((p) => p / sum),
          };
        }),
      })),
    }),
    drawn(calibrationFigure, {
      id: "calibration",
      title: "Predicted and observed",
      points: Array.from({ length: 10 }, (_, k) => {
        const predicted = 0.03 + 0.04 * k;
        const observed = Math.max(0.01, predicted * 0.9 + 0.02 * random.normal());
        return {
          predicted,
          observed,
          lower: Math.max(0, observed - 0.04),
          upper: observed + 0.05,
          n: 168,
        };
      }),
      smooth: { predicted: [0.01, 0.1, 0.2, 0.3, 0.42], observed: [0.02, 0.09, 0.18, 0.28, 0.37] },
    }),
    drawn(visitFigure, {
      id: "visits",
      title: "When echocardiograms were made",
      groups: [
        { label: "Repair", time: visits(3900), patients: 988 },
        { label: "Replacement", time: visits(2300), patients: 695 },
      ],
      horizon: 10,
    }),
    drawn(curveFigure, {
      id: "effect-of-dimension",
      title: "Recurrence by end-diastolic dimension",
      curves: [curve("Repair", risk(0)), curve("Replacement", risk(-14))],
      xLabel: "End-diastolic dimension, mm",
      yLabel: "Recurrence within 5 years",
      yDomain: [0, 1],
      format: (value) => `${Math.round(100 * value)}${value === 1 ? "%" : ""}`,
      thresholds: [{ at: 65, label: "65 mm, published" }],
    }),
    drawn(datingFigure, {
      id: "dating",
      title: "Recurrence after repair, dated five ways",
      times: [1, 5, 10],
      rows: [
        {
          label: "between visits, death competing",
          role: "estimate",
          incidence: [0.08, 0.21, 0.28],
        },
        { label: "on the date it was found", role: "shortcut", incidence: [0.05, 0.18, 0.24] },
        { label: "at the last clear visit", role: "shortcut", incidence: [0.11, 0.19, NaN] },
        { label: "if no death hid one", role: "bound", incidence: [0.08, 0.2, 0.26] },
        { label: "if every unseen death hid one", role: "bound", incidence: [0.13, 0.38, 0.57] },
      ],
    }),
    drawn(curveFigure, {
      id: "effect-single",
      title: "One smooth effect",
      curves: [{ ...curve("", risk(2)), label: undefined }],
      xLabel: "End-diastolic dimension, mm",
      yLabel: "Relative hazard",
      reference: 0.5,
    }),
    drawn(funnelFigure, {
      id: "funnel",
      title: "Repair rate by surgeon",
      points: Array.from({ length: 9 }, (_, k) => ({
        label: `S${k + 1}`,
        n: 8 + 30 * k,
        proportion: Math.min(1, Math.max(0, 0.62 + 0.07 * random.normal())),
        named: k === 4 || k === 8,
      })),
      overall: 0.62,
      limits: [
        { label: "95%", n: volume, lower: limit(1.96, -1), upper: limit(1.96, 1) },
        { label: "99.8%", n: volume, lower: limit(3.09, -1), upper: limit(3.09, 1) },
      ],
      yLabel: "Valves repaired",
    }),
  ];
}
