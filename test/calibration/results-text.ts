import { cohortSize, meanHorizon } from "./estimates.ts";
import type { DatingPerformance } from "./visits/dating.ts";
import type { Performance } from "./summary.ts";
import { datingTable, mainTable, performanceTable, signed, wrapped } from "./tables.ts";

/** Everything that the text tells of. */
export interface Calibration {
  cohorts: number;
  /** With ideal visits. */
  idealCohorts: number;
  firstSeed: number;
  failures: { seed: number; error: string }[];
  warned: number;
  meanEligible: number;
  meanPairs: number;
  meanClosestPairs: number;
  meanGap: { descending: number; closest: number };
  rows: Performance[];
  dating: DatingPerformance[];
  /** With visits that have nothing to do with the valve. */
  idealDating: DatingPerformance[];
}

const perHundred = { scale: 100, digits: 2 };

/** All results, as Markdown. */
export function resultsText(c: Calibration): string {
  return wrapped(`# Estimates against a known truth

${introduction(c)}

${reading}

## Survival, difference per 100 patients

${performanceTable(c.rows, "survival", perHundred)}

## Recurrence found, difference in cumulative incidence per 100 patients

Truth: recurrence on the day it is found by echo visits like these, death competing.

${performanceTable(c.rows, "recurrenceFound", perHundred)}

## Reoperation, difference in cumulative incidence per 100 patients

${performanceTable(c.rows, "reoperation", perHundred)}

## Years lived of the first ${meanHorizon}, difference

${performanceTable(c.rows, "restrictedMean", { scale: 1, digits: 3 })}

## Log hazard ratio of death

Truth: the limit of a Cox model with the intended operation as its only term, in the same \
population followed as long.

${performanceTable(c.rows, "logHazardRatio", { scale: 1, digits: 3 })}

## Dating a recurrence: cumulative incidence after an intended repair, per 100 patients

${aboutDating}

${datingTable(c.dating)}

With ideal visits, ${c.idealCohorts} cohorts:

${datingTable(c.idealDating)}

## What this shows

${findings(c)}
`);
}

const [start, end] = ["<!-- calibration -->", "<!-- end of calibration -->"];

/** A guide with the main results between its two marks, or after the first where there is one. */
export function withSummary(guide: string, calibration: Calibration): string {
  const from = guide.indexOf(start);
  if (from < 0) throw new Error(`no ${start} in the guide`);
  const to = guide.indexOf(end);
  const before = guide.slice(0, from + start.length);
  const after = to < 0 ? guide.slice(from + start.length) : guide.slice(to + end.length);
  return `${before}\n\n${summaryText(calibration)}\n\n${end}${after}`;
}

/** What matters most, at five years. */
function summaryText(c: Calibration): string {
  return wrapped(
    `\`deno task calibrate\` draws cohorts whose true answers are known, writes them to files \
and analyses them as the notebooks do: ${c.cohorts} cohorts of ${cohortSize} patients, differences \
per 100 at five years, ± Monte-Carlo error. All quantities, horizons and what they show: \
[\`test/calibration/results.md\`](test/calibration/results.md). The task writes this section.

${mainTable(c.rows.filter(({ design }) => leading.includes(design)), 5)}`,
  );
}

const leading = ["matchedClosest", "overlap"];

function introduction(c: Calibration): string {
  const failed = c.failures.length === 0
    ? "Every cohort could be analysed"
    : `${c.failures.length} cohorts could not be analysed and are left out`;
  return `${c.cohorts} cohorts of ${cohortSize} patients were simulated (seeds ${c.firstSeed} to \
${c.firstSeed + c.cohorts - 1}), written to files, and read and analysed as the notebooks do, with \
the demonstration's study file: \`deno task calibrate --cohorts ${c.cohorts}\`. ${failed}; the \
propensity model warned in ${c.warned}. On average ${c.meanEligible.toFixed(0)} patients were \
eligible and ${c.meanPairs.toFixed(0)} pairs matched.`;
}

const reading = `Differences are intended repair minus intended replacement. The truth of weighted \
estimates is that of \`data-demo/truth.json\` for the same population; that of a matched sample, \
which stands for no fixed population, is the mean over cohorts of the true difference in the \
patients matched, had each had both operations and had nobody been lost. _Mean SE_ is the root mean \
square of the estimated standard errors; _SD_ is what they should be. _Coverage_ is the share of 95% \
limits that hold the truth; _of own mean_, the share that hold the mean of the estimates, which takes \
bias out of it. ± is Monte-Carlo error: a bias within two of it, and a coverage within two of it of \
95, are what chance gives. _True score_ replaces the fitted propensity by the one patients were \
assigned with. Measures as Morris, White and Crowther (2019) Stat Med 38:2074-2102.`;

const aboutDating =
  `Truth: recurrences on the day they began, seen or not, in the same patients had \
nobody been lost; repairs without weights. _Ideal_: cohorts in which symptoms bring nobody to an echo \
sooner, no echo reads a grade too low, and no recurrence falls back to mild.`;

function findings(c: Calibration): string {
  const at = (quantity: string, design: string, time: number | null, target?: string) => {
    const row = c.rows.find((one) =>
      one.quantity === quantity && one.design === design && one.time === time &&
      (target === undefined || one.target === target)
    );
    if (!row) throw new Error(`no row for ${quantity}, ${design}, ${time}`);
    return row;
  };
  const hundred = (value: number) => signed(100 * value, 1);
  const perCent = (value: number) => (100 * value).toFixed(2);
  const plainly = at("survival", "unadjusted", 5, "everyone");
  const found = at("recurrenceFound", "unadjusted", 5, "everyone");
  const own = at("survival", "unadjusted", 5, "unadjusted");
  const overlap = at("survival", "overlap", 5);
  const matched = at("survival", "matched", 5);
  const ignored = at("survival", "matchedAsIndependent", 5);
  const closest = at("survival", "matchedClosest", 5);
  const ratio = at("logHazardRatio", "overlap", null);
  const model = at("survival", "overlapStandardized", 5);
  const [robust, robustLate] = [5, 10].map((time) =>
    at("survival", "overlapDoublyRobust", time)
  ) as [
    Performance,
    Performance,
  ];
  const treated = at("survival", "treated", 1);
  const [late, lateTrue, lateEveryone] = ["overlap", "overlapTrueScore", "everyone"].map((design) =>
    at("recurrenceFound", design, 10)
  ) as [Performance, Performance, Performance];
  const dated = (rows: DatingPerformance[], method: string, time: number) => {
    const row = rows.find((one) => one.method === method && one.time === time)!;
    return `${signed(100 * row.bias, 2)} ± ${(100 * row.biasError).toFixed(2)}`;
  };
  const between = "interval-censored";
  return `- **Without adjustment** survival at five years differs by ${hundred(plainly.mean)} per \
100 where the truth is ${hundred(plainly.truth)}: the sicker were replaced. Recurrence errs the \
other way, by ${hundred(found.bias)}. The limits are sound for what a plain comparison tends to \
(coverage ${hundred(own.coverage)}%); it is the wrong quantity.
- **Weighting** recovers the truth: the bias of the overlap-weighted difference in survival at five \
years is ${hundred(overlap.bias)} ± ${hundred(overlap.biasError)} per 100. The true score does no \
better, so that missing values taken as their mean with a mark, rounded measurements and surgeons' \
likings, none of which the model has right, do no harm that can be seen here.
- **Robust limits take the weights as known**, which makes them somewhat wide with overlap weights: \
standard error ${ratio.estimated.toFixed(3)} for a spread of ${
    ratio.empirical.toFixed(3)
  } in the log \
hazard ratio, coverage ${hundred(ratio.coverage)}%. They err on the safe side; a bootstrap \
that weighs anew would take it into account.
- **Weights for the treated** let a few replacements stand for all repairs. Where these few happen \
not to die, the difference and its error both come out small: at one year the limits hold the truth \
in ${hundred(treated.coverage)}%, lie below it in ${hundred(treated.below)}% and above it in \
${hundred(treated.above)}%, though the standard error is right on average. The same goes for \
reoperation. Trust these limits only where events are many.
- **Matching in descending order of the score** leaves each repair the partner that \
those before it did not take: partners have a lower score by ${
    c.meanGap.descending.toFixed(2)
  } of the \
caliper on average, and the bias that remains is ${hundred(matched.bias)} ± \
${
    hundred(matched.biasError)
  } per 100 at five years. Making the closest pairs first leaves a gap of \
${c.meanGap.closest.toFixed(2)} and a bias of ${hundred(closest.bias)} ± \
${hundred(closest.biasError)}, for ${(c.meanPairs - c.meanClosestPairs).toFixed(0)} pairs fewer.
- **Regression and the doubly robust estimate** recover the truth as well: biases of \
${hundred(model.bias)} ± ${hundred(model.biasError)} and ${hundred(robust.bias)} ± \
${
    hundred(robust.biasError)
  } per 100 at five years. The doubly robust limits are too narrow with as \
many covariates as the demonstration has, because the survival models are taken as known: standard \
error ${perCent(robust.estimated)} for a spread of ${perCent(robust.empirical)}, coverage \
${hundred(robust.coverage)}% at five years and ${hundred(robustLate.coverage)}% at ten. Read them \
beside the others, or repeat the procedure.
- **Ignoring the pairs** costs little here: standard error ${perCent(ignored.estimated)} against \
${perCent(matched.estimated)} with pairs and a spread of ${perCent(matched.empirical)}, since \
partners of like score have outcomes that hardly go together. Where they do, limits that ignore \
pairs are too wide.
- **Long horizons rest on early patients.** Repair became commoner with the years, so that the \
overlap population of early years is not that of late ones, and censoring by the calendar is not \
independent of outcome in it: recurrence at ten years is off by ${hundred(late.bias)} ± \
${hundred(late.biasError)} per 100, by ${hundred(lateTrue.bias)} with the true score, and by \
${hundred(lateEveryone.bias)} in everyone, whose case mix does not change.
- **When it was found is not when it began.** Counting at discovery is off at five years \
by ${dated(c.dating, "date-found", 5)} per 100, and the midpoint of the visits by \
${
    dated(c.dating, "midpoint", 5)
  }, since those who die unseen still count as clear. With ideal visits \
the estimate between visits is off by ${dated(c.idealDating, between, 5)} at five years and \
${dated(c.idealDating, between, 10)} at ten. As generated, symptoms that bring patients sooner \
once the valve leaks push it up, and recurrences read as mild or passing push it down: \
${dated(c.dating, between, 5)} at five years, ${dated(c.dating, between, 10)} at ten.`;
}
