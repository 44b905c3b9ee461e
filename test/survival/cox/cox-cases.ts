import type { CoxData, CoxFit } from "../../../lib/survival/cox/model/fit.ts";
import { assertAllClose, assertClose, type Tolerance } from "../../close.ts";
import { numeric, referenceRows } from "../../reference/load.ts";

/** A reference data file as the columns of a Cox regression; rows with a missing value left out. */
export function coxData(
  file: string,
  o: {
    time?: string;
    event?: string;
    entry?: string;
    covariates: Record<string, string | ((row: Record<string, string>) => number)>;
    weight?: string;
    stratum?: string;
    cluster?: string;
    keep?: (row: Record<string, string>) => boolean;
  },
): CoxData {
  const needed = [o.cluster, o.weight, o.stratum, ...Object.values(o.covariates)]
    .filter((column) => typeof column === "string");
  const rows = referenceRows(file).filter((row) =>
    needed.every((column) => row[column] !== "" && row[column] !== "NA") && (o.keep?.(row) ?? true)
  );
  const covariates = Object.fromEntries(
    Object.entries(o.covariates).map(([name, source]) => [
      name,
      typeof source === "string" ? numeric(rows, source) : Float64Array.from(rows, source),
    ]),
  );
  return {
    time: numeric(rows, o.time ?? "time"),
    event: numeric(rows, o.event ?? "status"),
    covariates,
    ...(o.entry ? { entry: numeric(rows, o.entry) } : {}),
    ...(o.weight ? { weight: numeric(rows, o.weight) } : {}),
    ...(o.stratum ? { stratum: rows.map((row) => row[o.stratum!]!) } : {}),
    ...(o.cluster ? { cluster: rows.map((row) => row[o.cluster!]!) } : {}),
  };
}

/** Compares every field of a reference fit (see the method text of the cox cases). */
// deno-lint-ignore no-explicit-any -- the case's own shape
export function assertFit(fit: CoxFit, expected: any, tolerance: Tolerance, what: string): void {
  const robust = expected.robustSe !== undefined;
  const column = (of: (term: CoxFit["terms"][number]) => number | undefined) =>
    fit.terms.map((term) => of(term) ?? NaN);
  const all = (actual: ArrayLike<number>, name: string) =>
    assertAllClose(actual, expected[name], tolerance, `${what} ${name}`);
  const one = (actual: number | undefined, name: string) =>
    assertClose(actual ?? NaN, expected[name], tolerance, `${what} ${name}`);
  assertClose(fit.n, expected.n, tolerance, "n");
  assertClose(fit.events, expected.events, tolerance, "events");
  all(column((t) => t.coefficient), "coef");
  all(column((t) => t.standardError), "se");
  if (robust) all(column((t) => t.robustStandardError), "robustSe");
  all(column((t) => t.z), "z");
  all(column((t) => t.pValue), "p");
  all(column((t) => t.hazardRatio), "hazardRatio");
  all(column((t) => t.lower), "hrLower");
  all(column((t) => t.upper), "hrUpper");
  const covariance = robust ? fit.robustCovariance! : fit.covariance;
  assertAllClose(covariance, expected.covariance.flat(), tolerance, `${what} covariance`);
  one(fit.logLikelihoodNull, "loglikNull");
  one(fit.logLikelihood, "loglik");
  one(fit.likelihoodRatio.statistic, "likelihoodRatio");
  one(fit.score.statistic, "score");
  one(fit.wald.statistic, "wald");
  assertClose(fit.wald.degreesOfFreedom, expected.df, tolerance, "df");
  if (robust) {
    one(fit.modelWald?.statistic, "waldNaive");
    const score = [expected.robustScore].flat(2)[0]; // one case has it as a 1 x 1 matrix
    assertClose(fit.robustScore?.statistic ?? NaN, score, tolerance, `${what} robustScore`);
  }
  if (!expected.concordance) return;
  const { concordant, discordant, tiedX, tiedY, tiedXY, C, se } = expected.concordance;
  assertAllClose(
    [
      fit.concordance.concordant,
      fit.concordance.discordant,
      fit.concordance.tiedScore,
      fit.concordance.tiedTime,
      fit.concordance.tiedBoth,
      fit.concordance.estimate,
      fit.concordance.standardError,
    ],
    [concordant, discordant, tiedX, tiedY, tiedXY, C, se],
    tolerance,
    `${what} concordance`,
  );
}

/** The models of the reference cases, by case and variant. */
export const models = {
  freireich: () =>
    coxData("freireich.csv", { covariates: { placebo: (row) => +(row.arm === "placebo") } }),
  wbc: (product = false) =>
    coxData("freireich-wbc.csv", {
      covariates: {
        placebo: "placebo",
        logwbc: "logwbc",
        ...(product
          ? { inter: (row: Record<string, string>) => Number(row.placebo) * Number(row.logwbc) }
          : {}),
      },
    }),
  aml: () => coxData("aml.csv", { covariates: { maintained: "maintained" } }),
  veteran: () =>
    coxData("veteran.csv", {
      covariates: {
        test: (row) => Number(row.trt) - 1,
        ...same("smallcell", "adeno", "large", "karno", "diagtime", "age", "prior"),
      },
    }),
  stratifiedVeteran: () =>
    coxData("veteran.csv", {
      covariates: { test: (row) => Number(row.trt) - 1, karno: "karno" },
      stratum: "celltype",
    }),
  ovarian: () =>
    coxData("ovarian.csv", {
      time: "futime",
      event: "fustat",
      covariates: same("age", "resid.ds", "rx", "ecog.ps"),
    }),
  lungSex: () => coxData("lung.csv", { covariates: same("sex") }),
  lung: (cluster?: string) =>
    coxData("lung.csv", { covariates: same("age", "sex", "ph.ecog"), cluster }),
  weightedLung: (...covariates: string[]) =>
    coxData("lung-weighted.csv", { covariates: same(...covariates), weight: "w" }),
  heart: (cluster?: string) =>
    coxData("heart.csv", {
      entry: "start",
      time: "stop",
      event: "event",
      covariates: same("age", "year", "surgery", "transplant"),
      cluster,
    }),
  pbc: (randomised = false) =>
    coxData("pbc.csv", {
      event: "death",
      covariates: same("age", "edema", "logbili", "logprotime", "logalbumin"),
      keep: (row) => !randomised || (row.trt !== "" && row.trt !== "NA"),
    }),
};

function same(...names: string[]): Record<string, string> {
  return Object.fromEntries(names.map((name) => [name, name]));
}
