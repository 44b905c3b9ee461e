import {
  concentrationFigure,
  decisionFigure,
  funnelFigure,
  learningFigure,
  monitoringFigure,
  trendFigure,
} from "../../../lib/figures/mod.ts";
import { drawn, type Example } from "./relabelled.ts";

/** Every figure of the programme's own quality, from invented results. */
export function programmeExamples(): Example[] {
  const experience = Float64Array.from({ length: 60 }, (_, k) => 4 * k);
  const falling = experience.map((done) => 0.06 + 0.2 * Math.max(0, 1 - done / 50));
  const share = Float64Array.from({ length: 101 }, (_, k) => k / 100);
  const lorenz = (power: number) => share.map((x) => 1 - (1 - x) ** power);
  const events = lorenz(2.4);
  const at = (where: number) => ({
    estimate: events[Math.round(100 * where)]!,
    lower: lorenz(2)[Math.round(100 * where)]!,
    upper: lorenz(2.8)[Math.round(100 * where)]!,
  });
  const year = Float64Array.from({ length: 40 }, (_, k) => 2014 + k / 4);
  const excess = year.map((t) => 4 * Math.sin((t - 2014) / 1.7) + (t > 2020 ? 3 * (t - 2020) : 0));
  const height = (from: number, slope: number) =>
    year.map((t) => Math.max(0, 0.6 + 0.5 * Math.sin(2 * t) + (t > from ? slope * (t - from) : 0)));
  const trend = (shift: (t: number) => number) => {
    const estimate = year.map((t) => 0.6 + 0.015 * (t - 2014) + shift(t));
    return {
      time: year,
      estimate,
      lower: estimate.map((p) => p - 0.05),
      upper: estimate.map((p) => p + 0.05),
    };
  };
  const thresholds = Float64Array.from({ length: 30 }, (_, k) => 0.02 + 0.015 * k);
  const benefit = (top: number, fall: number) =>
    Array.from(thresholds, (t) => {
      const estimate = Math.max(0, top - fall * t);
      return { estimate, lower: estimate - 0.02, upper: estimate + 0.02 };
    });
  return [
    drawn(learningFigure, {
      id: "learning-conversion",
      title: "Conversion by experience",
      curve: {
        experience,
        estimate: falling,
        lower: falling.map((p) => 0.7 * p),
        upper: falling.map((p) => 1.4 * p),
      },
      yLabel: "Repairs converted to replacement",
      plateau: { estimate: 52, lower: 34, upper: 71 },
    }),
    drawn(learningFigure, {
      id: "learning-minutes",
      title: "Clamp time by experience",
      curve: {
        experience,
        estimate: falling.map((p) => 80 + 100 * p),
        lower: falling.map((p) => 75 + 100 * p),
        upper: falling.map((p) => 86 + 100 * p),
      },
      yLabel: "Minutes of clamping",
      format: (value) => String(Math.round(value)),
      plateau: { estimate: 52, lower: 34, upper: Infinity },
    }),
    drawn(concentrationFigure, {
      id: "concentration",
      title: "How few patients make most of the replacements",
      curve: { patients: share, events, lower: lorenz(2), upper: lorenz(2.8), at },
      events: "replacements",
    }),
    drawn(monitoringFigure, {
      id: "monitoring",
      title: "Conversions against what the first years let expect",
      at: year,
      excess,
      worse: { height: height(2020, 1.1), limit: 3.4 },
      better: { height: height(2030, 0), limit: 3.1 },
      signals: [{ at: 2022.5, kind: "worse" }],
      xLabel: "Year of operation",
      xFormat: String,
      events: "Conversions",
    }),
    drawn(monitoringFigure, {
      id: "monitoring-one-side",
      title: "Conversions, looking for deterioration only",
      at: year,
      excess,
      worse: { height: height(2030, 0), limit: 3.4 },
      xLabel: "Operations so far",
      events: "Conversions",
    }),
    drawn(trendFigure, {
      id: "repair-rate-years",
      title: "Repair rate by year",
      years: Array.from({ length: 10 }, (_, k) => ({
        year: 2014 + k,
        estimate: 0.6 + 0.015 * k + (k > 5 ? 0.1 : 0) + 0.02 * ((k * 7) % 3 - 1),
        lower: 0.5 + 0.015 * k + (k > 5 ? 0.1 : 0),
        upper: 0.7 + 0.015 * k + (k > 5 ? 0.1 : 0),
      })),
      fitted: trend((t) => t >= 2020 ? 0.1 : 0),
      unchanged: trend(() => 0),
      dates: [{ at: 2020, label: "Heart team" }],
      yLabel: "Valves repaired",
    }),
    drawn(trendFigure, {
      id: "age-years",
      title: "Age by year",
      years: [{ year: 2015, estimate: 64, lower: 62, upper: 66 }],
      fitted: {
        ...trend(() => 0),
        estimate: year.map(() => 64),
        lower: year.map(() => 63),
        upper: year.map(() => 65),
      },
      yLabel: "Mean age, years",
      format: (value) => String(Math.round(value)),
    }),
    drawn(decisionFigure, {
      id: "marks-decision",
      title: "Acting on the warning marks",
      thresholds,
      rules: [
        { label: "Model", benefit: benefit(0.18, 0.35) },
        { label: "Either mark", benefit: benefit(0.15, 0.4) },
      ],
      all: Array.from(thresholds, (t) => ({ estimate: 0.2 - 0.8 * t / (1 - t) })),
      xLabel: "Risk at which one would act, %",
    }),
    drawn(funnelFigure, {
      id: "funnel-target",
      title: "Repair rate by surgeon, with a target",
      points: Array.from({ length: 8 }, (_, k) => ({
        label: `S${k + 1}`,
        n: 30 + 30 * k,
        proportion: k === 6 ? 0.62 : 0.84 + 0.01 * k,
        named: k === 6,
        outside: k === 6,
      })),
      overall: 0.86,
      target: { value: 0.9, label: "Target 90%" },
      limits: [{
        label: "95%",
        n: [20, 120, 260],
        lower: [0.7, 0.79, 0.82],
        upper: [0.98, 0.92, 0.9],
      }],
      yLabel: "Valves repaired",
    }),
  ];
}
