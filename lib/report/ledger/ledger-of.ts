import { followUpOf, valveEvents } from "../../cohort/follow-up/mod.ts";
import { type Analysis, hasColumn } from "../../cohort/model/mod.ts";
import {
  contrastsOf,
  type EndpointContrast,
  type PopulationAnswer,
} from "../../comparisons/populations/mod.ts";
import { underWeights, type WeightedSample } from "../../balance/samples/mod.ts";
import { pairInWords, roundTo } from "../../words/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { pooledRestrictedMean } from "../../missing/study/mod.ts";
import { comparedPair, estimatesOf, type LedgerLine, noPair } from "../pair-tables/mod.ts";
import { medianStay } from "./median-stay.ts";
import { recordedShares } from "./recorded-shares.ts";
import { shareBetween } from "./share-between.ts";

type Named = Pick<LedgerLine, "id" | "label" | "when" | "unit" | "goodIfMore">;

const absent = "not in the file";
// What a registry of this kind does not record after the hospital stay; an endpoint of the study's
// own with one of these ids takes the place of its line.
const seldomRecorded = [
  ["late-stroke", "Late stroke"],
  ["late-bleeding", "Late bleeding under anticoagulation"],
  ["quality-of-life", "Quality of life"],
] as const;

/**
 * The ledger of one population: benefits and harms of both groups, weighted as its main answer is,
 * in whole patients of 100, days or months.
 *
 * Endpoints of the study's own join it. What the file does not have stands there as not
 * in the file;
 * what has too little for a number says why.
 */
export function ledgerOf({ population, design, endpoints }: PopulationAnswer): LedgerLine[] {
  const { analysis, sample, shortOf } = design;
  const { study } = analysis;
  const years = `at ${study.mainHorizon} years`;
  const missing = neverRecorded(study);
  if (!sample || shortOf.length > 0) {
    const line = { ...about("alive", "Alive", years), goodIfMore: true };
    const why = shortOf.join("; ") || `nobody in: ${population.label}`;
    return [{ ...line, ...noPair, instead: why }, ...missing];
  }
  const rules = { confidence: study.confidence, fewest: study.enough.events.value };
  const dated = endpoints.filter(({ endpoint }) => !componentOnly.has(endpoint));
  const first = dated.map(({ endpoint, label, main, why }): LedgerLine => {
    const named = endpoint === "death"
      ? { ...about("alive", "Alive", years), goodIfMore: true }
      : about(endpoint, shortLabels[endpoint] ?? label, `within ${study.mainHorizon} years`);
    return main ? lineOf(named, main) : { ...named, ...noPair, instead: why };
  });
  const shares = recordedShares(analysis).map(({ id, label, when, holds }): LedgerLine => {
    const named = about(id, label, when);
    if (!holds || holds.every(Number.isNaN)) return { ...named, ...noPair, instead: absent };
    const found = shareBetween({ holds, group: analysis.treated, sample }, study);
    return checked(named, found, rules);
  });
  return [
    ...first,
    monthsFree(analysis, sample),
    earlyDeath(analysis, sample, rules),
    ...shares,
    stayLine(analysis, sample),
    valveDeath(analysis, sample, rules),
    ...missing,
  ];
}

/**
 * What no column of the dictionary has, unless the study file names it as an endpoint of its own.
 */
function neverRecorded({ endpoints }: Study): LedgerLine[] {
  const own = new Set(endpoints.map(({ id }) => id));
  return [["mismatch", "Prosthesis too small for the patient"] as const, ...seldomRecorded]
    .filter(([id]) => !own.has(id))
    .map(([id, label]) => ({ ...about(id, label, ""), ...noPair, instead: absent }));
}

/** What a line counts, of 100 patients unless said, of which fewer are better. */
function about(id: string, label: string, when: string): Named {
  return { id, label, when, unit: "of 100", goodIfMore: false };
}

/** Parts of valve failure, which have their own sections. */
const componentOnly = new Set<string>(["recurrence", "recurrence-severe"]);

const shortLabels: Record<string, string> = {
  "valve-failure": "Valve failure: a leak or a reintervention",
  reoperation: "Reoperated",
};

function lineOf(named: Named, contrast: EndpointContrast): LedgerLine {
  return {
    ...named,
    ...comparedPair(contrast),
    instead: "",
  };
}

/** The line, or why it has no numbers. */
function checked(
  named: Named,
  contrast: EndpointContrast | null | undefined,
  { fewest }: { fewest: number },
): LedgerLine {
  if (!contrast) return { ...named, ...noPair, instead: "recorded in one group only" };
  const events = contrast.groups.reduce((sum, group) => sum + group.events, 0);
  if (events < fewest) return { ...named, ...noPair, instead: "too few events for a number" };
  if (Number.isNaN(contrast.difference.estimate)) {
    return { ...named, ...noPair, instead: "too few were followed so long" };
  }
  return lineOf(named, contrast);
}

type Rules = { confidence: number; fewest: number };

function earlyDeath(analysis: Analysis, sample: WeightedSample, rules: Rules): LedgerLine {
  const data = underWeights(followUpOf(analysis, "death"), sample);
  // as incidence, which has limits with few events
  const [contrast] = contrastsOf("early-death", data, {
    times: [30 / 365.25],
    confidence: rules.confidence,
  });
  return checked(about("early-death", "Died early", "within 30 days"), contrast, rules);
}

function valveDeath(analysis: Analysis, sample: WeightedSample, rules: Rules): LedgerLine {
  const { mainHorizon } = analysis.study;
  const named = about("valve-death", "Died of the valve", `within ${mainHorizon} years`);
  if (!hasColumn(analysis, "death_cause")) return { ...named, ...noPair, instead: absent };
  const found = valveEvents(analysis).find(({ id }) => id === "valve-death")!;
  const data = underWeights({ ...found, event: Int32Array.from(found.cause) }, sample);
  const [contrast] = contrastsOf("valve-death", data, {
    times: [mainHorizon],
    confidence: rules.confidence,
  });
  return checked(named, contrast, rules);
}

function monthsFree(analysis: Analysis, sample: WeightedSample): LedgerLine {
  const { mainHorizon, confidence } = analysis.study;
  const months = Math.round(12 * mainHorizon);
  const named: Named = {
    ...about("months-free", "Months alive with a sound valve", `of the first ${months}`),
    unit: `months of ${months}`,
    goodIfMore: true,
  };
  const followUp = followUpOf(analysis, "valve-failure");
  const event = followUp.event.map((cause) => cause > 0 ? 1 : 0);
  const data = underWeights({ ...followUp, event }, sample);
  try {
    const found = pooledRestrictedMean(data, { horizon: mainHorizon, confidence });
    const of = estimatesOf(found);
    const tenth = (value: number) => roundTo(12 * value, 1);
    return {
      ...named,
      first: tenth(of(1)),
      second: tenth(of(0)),
      difference: tenth(found.difference.estimate),
      lower: tenth(found.difference.lower),
      upper: tenth(found.difference.upper),
      printed: pairInWords({
        first: 12 * of(1),
        second: 12 * of(0),
        lower: 12 * found.difference.lower,
        upper: 12 * found.difference.upper,
      }),
      instead: "",
    };
  } catch (problem) {
    if (!(problem instanceof DataError)) throw problem;
    return { ...named, ...noPair, instead: "too few were followed so long" };
  }
}

function stayLine(analysis: Analysis, sample: WeightedSample): LedgerLine {
  const named: Named = { ...about("stay", "Stay in hospital, median", ""), unit: "days" };
  const found = medianStay(analysis, sample.weight, analysis.study);
  if (!found) return { ...named, ...noPair, instead: absent };
  const whole = (value: number) => roundTo(value, 0);
  return {
    ...named,
    first: whole(found.first),
    second: whole(found.second),
    difference: whole(found.difference),
    lower: whole(found.lower),
    upper: whole(found.upper),
    printed: pairInWords(found),
    instead: "",
  };
}
