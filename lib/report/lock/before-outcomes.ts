import { balanceTable } from "../../balance/tables/mod.ts";
import { overlapOf } from "../../balance/alike/mod.ts";
import { matchedSample, weightedSample } from "../../balance/samples/mod.ts";
import { studyPropensity } from "../../balance/score/mod.ts";
import { withoutOutcomes } from "../../cohort/analysis/mod.ts";
import { missingness } from "../../cohort/follow-up/mod.ts";
import { type Analysis, numericColumn } from "../../cohort/model/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { expectedPrecision } from "../../sensitivity/precision/mod.ts";
import { formatNumber, formatPercent } from "../../words/mod.ts";

/** What a plan shows before outcomes are looked at: headings with lines of words. */
export type BeforeOutcomes = { heading: string; lines: string[] }[];

/**
 * Counts, missing values, balance, overlap, effective numbers and the precision to expect, of
 * patients without their outcomes: those are dropped before anything here is worked out.
 *
 * Counts are exact: this is for whoever keeps the file, and goes into no report.
 */
export function beforeOutcomes(analysis: Analysis): BeforeOutcomes {
  const patients = withoutOutcomes(analysis);
  const sections: BeforeOutcomes = [
    { heading: "Patients", lines: counts(patients) },
    { heading: "Missing before the operation", lines: missing(patients) },
  ];
  try {
    sections.push(...designed(patients));
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    sections.push({ heading: "Groups made alike", lines: [`Not possible: ${error.message}.`] });
  }
  return sections;
}

const whole = (n: number) => formatNumber(n, { digits: 0 });

function counts({ flow, groups, study }: Analysis): string[] {
  return [
    ...flow.map(({ reason, excluded, remaining }) =>
      excluded > 0 ? `${reason}: ${whole(excluded)} left out` : `${reason}: ${whole(remaining)}`
    ),
    `${study.groups.repair}: ${whole(groups.counts.repair)}`,
    `${study.groups.replacement}: ${whole(groups.counts.replacement)}`,
  ];
}

function missing(patients: Analysis): string[] {
  const lines = missingness(patients).flatMap(({ label, repair, replacement }) =>
    repair.missing + replacement.missing === 0 ? [] : [
      `${label}: ${share(repair.missing, repair.applies)} and ${
        share(replacement.missing, replacement.applies)
      }`,
    ]
  );
  return lines.length > 0 ? lines : ["nothing"];
}

const share = (part: number, all: number) => all > 0 ? formatPercent(part / all) : "none apply";

function designed(patients: Analysis): BeforeOutcomes {
  const { study } = patients;
  const propensity = studyPropensity(patients, study);
  const weighted = weightedSample(patients, study, { propensity });
  const matched = matchedSample(patients, study, { propensity });
  const overlap = overlapOf({ treated: patients.treated, score: propensity.score });
  const { largest, aboveTenth, rows } = balanceTable(patients, study, { matched, weighted });
  const two = (value: number | null) =>
    value === null ? "not known" : formatNumber(value, { digits: 2 });
  const effective = [weighted.repair.effective, weighted.replacement.effective] as const;
  return [
    {
      heading: "Groups made alike",
      lines: [
        `Scores of both groups: ${two(overlap.common.lower)} to ${two(overlap.common.upper)}; ` +
        `below 0.05 or above 0.95: ${whole(overlap.extreme.treated + overlap.extreme.controls)}`,
        `Pairs: ${whole(matched.pairs.length)}`,
        `Worth once weighted: ${whole(effective[0])} and ${whole(effective[1])} patients`,
        `Largest standardised difference: ${two(largest.before)} before, ` +
        `${two(largest.afterMatching)} in pairs, ${two(largest.afterWeighting)} weighted`,
        `Differences above 0.1, of ${rows.length}: ${aboveTenth.before} before, ` +
        `${aboveTenth.afterMatching} in pairs, ${aboveTenth.afterWeighting} weighted`,
        ...propensity.warnings,
      ],
    },
    { heading: "Precision to expect", lines: precision(patients, effective) },
  ];
}

/** From what the plan expects and how long patients could be followed: no outcome goes in. */
function precision(
  patients: Analysis,
  effective: readonly [number, number],
): string[] {
  const { study } = patients;
  const { expected, power } = study.precision;
  if (expected.length === 0) {
    return ["The plan expects nothing under precision.expected: nothing to work out."];
  }
  // operations are spread over their year
  const followUp = numericColumn(patients, "op_year").map((year) =>
    Math.max(0, study.timeZero.closingYear - year - 0.5)
  );
  const difference = study.smallestDifference.value;
  return expected.flatMap(({ endpoint, share, diedBefore, source }) => {
    const label = study.endpoints.find(({ id }) => id === endpoint)?.label ?? endpoint;
    const found = expectedPrecision({
      patients: effective,
      share,
      competing: diedBefore,
      horizon: study.mainHorizon,
      followUp,
      difference,
    }, { seed: study.seed, power, confidence: study.confidence });
    const per100 = (value: number) => formatNumber(100 * value, { digits: 1 });
    return [
      `${label}, at ${study.mainHorizon} years, if ${formatPercent(share)} have it` +
      `${diedBefore > 0 ? ` and ${formatPercent(diedBefore)} die first` : ""} (${source}):`,
      `  ${whole(found.events)} events; a difference of ${
        per100(found.smallestFound)
      } per 100 is ` +
      `found with a chance of ${formatPercent(power, { digits: 0 })}`,
      `  the smallest that matters, ${per100(difference)} per 100, with a chance of ${
        formatPercent(found.power, { digits: 0 })
      }`,
      `  as a hazard ratio ${formatNumber(found.hazardRatio, { digits: 2 })}, for which ${
        whole(found.eventsNeeded)
      } events are needed` + (found.patientsNeeded < Infinity
        ? `, or some ${whole(found.patientsNeeded)} patients followed as these are`
        : ""),
      `  with the events expected, a comparison of hazards finds it with a chance of ${
        formatPercent(found.powerOfHazards, { digits: 0 })
      }`,
    ];
  });
}
