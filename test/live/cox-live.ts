// Cox regression against the reference library (R, package survival), live: 500 random cohorts with
// ties, times of zero, late entries, weights, strata and clusters, through one R process. Prints
// the largest relative difference of each quantity. Run: deno run
// -A test/live/cox-live.ts [cohorts]
//
// Conventions on which the two could differ, and what is done here:
// - Times within 1e-9 of the largest count as tied with us (1e-8 relative there): times are whole
//   numbers, so no near-ties arise.
// - The reference library reports a separated coefficient as if it had converged; we name it and
//   say that it did not. Such cohorts are counted and left out.
// - Exact ties: compared without late entries, for which the reference library lists every set of
//   deaths (hours; test/survival/cox/cox-properties.test.ts lists them for small cohorts instead);
//   it has no score residuals for them either.
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import type { CoxData, TieRule } from "../../lib/survival/cox/model/fit.ts";
import { coxRegression } from "../../lib/survival/cox/model/cox-regression.ts";
import { coxResiduals } from "../../lib/survival/cox/checks/residuals.ts";
import { proportionalHazardsTest } from "../../lib/survival/cox/checks/proportional-hazards.ts";

interface Cohort {
  data: CoxData;
  ties: TieRule;
}

const count = Number(Deno.args[0] ?? 500);
const random = new SeededRandom(20240607);
const names = ["a", "b", "c"];

function cohort(id: number): Cohort {
  const n = 30 + random.integer(170);
  const ties: TieRule = id % 5 === 4 ? "exact" : id % 2 ? "efron" : "breslow";
  const whole = ties !== "exact";
  const fine = 5 + random.integer(60);
  const column = (draw: () => number) => Array.from({ length: n }, draw);
  const a = column(() => random.normal());
  const b = column(() => random.bernoulli(0.4));
  const c = a.map((x) => Math.round(3 * (0.5 * x + random.normal())));
  const time = a.map((x, i) => {
    return Math.floor(fine * random.exponential(Math.exp(0.4 * x - 0.5 * b[i]! + 0.1 * c[i]!)));
  });
  const event = column(() => random.bernoulli(0.7));
  event[0] = 1;
  return {
    ties,
    data: {
      time,
      event,
      covariates: { a, b, c },
      ...(whole && random.bernoulli(0.4)
        ? { entry: time.map((t) => t - 1 - random.integer(fine)) }
        : {}),
      ...(random.bernoulli(0.3) ? { stratum: column(() => random.integer(3)) } : {}),
      ...(whole && random.bernoulli(0.4) ? { weight: column(() => 0.2 + random.uniform()) } : {}),
      ...(whole && random.bernoulli(0.4) ? { cluster: column(() => random.integer(20)) } : {}),
    },
  };
}

/** The quantities compared, in one order on both sides. */
function quantities({ data, ties }: Cohort): Record<string, number[]> | undefined {
  const fit = coxRegression(data, { ties });
  if (!fit.converged || fit.dropped.length > 0) return undefined;
  const exact = ties === "exact";
  const squares = (columns: Record<string, Float64Array>) =>
    Object.values(columns).map((column) => column.reduce((sum, x) => sum + x * x, 0));
  const survival = fit.survivalFor(
    { a: 0.5, b: 1, c: -1 },
    [0, Math.max(...Array.from(data.time)) / 4],
    data.stratum ? { stratum: Math.min(...Array.from(data.stratum as number[])) } : {},
  );
  const past = Number.isNaN(survival.survival[1]!);
  // the library's own test is model-based even under weights and clusters, ours is robust there
  const test = exact || fit.robustCovariance ? undefined : proportionalHazardsTest(fit);
  return {
    coefficient: fit.terms.map((term) => term.coefficient),
    "standard error": fit.terms.map((term) => term.standardError),
    "robust error": fit.terms.flatMap((term) => term.robustStandardError ?? []),
    "p value": fit.terms.map((term) => term.pValue),
    "log likelihood": [fit.logLikelihoodNull, fit.logLikelihood],
    "score, Wald": [fit.score.statistic, fit.wald.statistic],
    "robust score": fit.robustScore ? [fit.robustScore.statistic] : [],
    concordance: exact ? [] : [fit.concordance.estimate, fit.concordance.standardError],
    "time trend": test ? [...test.terms, test.global].map((each) => each.statistic) : [],
    survival: exact || past ? [] : [...survival.survival],
    "survival error": exact || past ? [] : [...survival.standardError],
    "martingale, deviance": [
      ...squares({ m: coxResiduals(fit, "martingale").values }),
      ...squares({ d: coxResiduals(fit, "deviance").values }),
    ],
    "score residual": exact ? [] : squares(coxResiduals(fit, "score").columns),
    schoenfeld: exact ? [] : squares(coxResiduals(fit, "schoenfeld").columns),
  };
}

const script = `
suppressPackageStartupMessages(library(survival)); options(warn = -1)
d <- read.csv(commandArgs(TRUE)[1]); k <- coxph.control(eps = 1e-14, toler.chol = 1e-15, iter.max = 60)
say <- function(key, x) cat(key, sprintf("%.17g", x), "\\n")
for (id in unique(d$id)) {
  e <- d[d$id == id, ]; has <- function(v) !is.na(e[[v]][1])
  exact <- e$ties[1] == "exact"
  left <- if (has("entry")) "Surv(entry, time, event)" else "Surv(time, event)"
  f <- as.formula(paste(left, "~ a + b + c", if (has("stratum")) "+ strata(stratum)" else ""))
  call <- list(f, data = e, ties = e$ties[1], control = k)
  if (has("weight")) { call$weights <- e$weight; call$cluster <- seq_len(nrow(e)) }
  if (has("cluster")) call$cluster <- e$cluster
  m <- do.call(coxph, call); nv <- if (is.null(m$naive.var)) m$var else m$naive.var
  cat("cohort", id, "\\n"); say("coefficient", coef(m)); say("standard error", sqrt(diag(nv)))
  say("robust error", if (is.null(m$naive.var)) numeric(0) else sqrt(diag(m$var)))
  say("p value", 2 * pnorm(-abs(coef(m) / sqrt(diag(m$var))))); say("log likelihood", m$loglik)
  say("score, Wald", c(m$score, drop(coef(m) %*% solve(m$var, coef(m)))))
  say("robust score", if (is.null(m$rscore)) numeric(0) else m$rscore)
  say("concordance", if (exact) numeric(0) else m$concordance[c("concordance", "std")])
  robust <- !is.null(m$naive.var)
  say("time trend", if (exact || robust) numeric(0) else cox.zph(m, "km", terms = FALSE)$table[, 1])
  if (!exact) {
    new <- data.frame(a = 0.5, b = 1, c = -1); if (has("stratum")) new$stratum <- min(e$stratum)
    s <- summary(survfit(m, new), times = c(0, max(e$time) / 4), extend = TRUE)
    say("survival", s$surv); say("survival error", s$std.err)
  }
  say("martingale, deviance", c(sum(resid(m, "martingale")^2), sum(resid(m, "deviance")^2)))
  if (!exact) {
    say("score residual", colSums(resid(m, "score")^2))
    say("schoenfeld", colSums(as.matrix(resid(m, "schoenfeld"))^2))
  }
}`;

const cohorts = Array.from({ length: count }, (_, id) => cohort(id));
const lines = [`id,ties,time,event,entry,weight,stratum,cluster,${names.join(",")}`];
cohorts.forEach(({ data, ties }, id) => {
  for (let i = 0; i < data.time.length; i++) {
    const cells = [data.entry, data.weight, data.stratum, data.cluster].map((c) => c?.[i] ?? "NA");
    const x = names.map((name) => data.covariates[name]![i]);
    lines.push([id, ties, data.time[i], data.event[i], ...cells, ...x].join(","));
  }
});
const file = Deno.makeTempFileSync({ suffix: ".csv" });
Deno.writeTextFileSync(file, lines.join("\n"));
const run = new Deno.Command("Rscript", { args: ["-e", script, file], stderr: "inherit" })
  .outputSync();
Deno.removeSync(file);
if (!run.success) throw new Error("the reference library did not run to its end");

const theirs: Record<string, number[]>[] = [];
for (const line of new TextDecoder().decode(run.stdout).split("\n")) {
  if (line.startsWith("cohort ")) theirs.push({});
  const parsed = /^([a-zA-Z, ]*[a-zA-Z]) +(.*)$/.exec(line);
  if (!parsed || parsed[1] === "cohort") continue;
  const numbers = parsed[2]!.trim();
  theirs.at(-1)![parsed[1]!] = numbers === "" ? [] : numbers.split(/\s+/).map(Number);
}
if (theirs.length !== count) throw new Error(`${theirs.length} of ${count} cohorts came back`);

const worst = new Map<string, { values: number; difference: number; cohort: number }>();
let leftOut = 0;
cohorts.forEach((each, id) => {
  const ours = quantities(each);
  if (!ours) {
    leftOut++;
    return;
  }
  for (const [key, values] of Object.entries(ours)) {
    const other = theirs[id]![key] ?? [];
    if (values.length === 0) continue;
    if (values.length !== other.length) throw new Error(`cohort ${id}: ${key} ${other.length}`);
    const row = worst.get(key) ?? { values: 0, difference: 0, cohort: -1 };
    values.forEach((value, i) => {
      row.values++;
      // Relative to the value, or to 1e-3 where it is smaller: an estimate near 0 has no digits.
      const difference = Math.abs(value - other[i]!) / Math.max(1e-3, Math.abs(other[i]!));
      if (!(difference <= row.difference)) {
        row.difference = difference;
        row.cohort = id;
      }
    });
    worst.set(key, row);
  }
});
console.log(`${count} cohorts, ${leftOut} left out (separated or collinear)`);
console.table(
  Object.fromEntries(
    [...worst].map(([key, { values, difference, cohort }]) => [
      key,
      { values, "largest relative difference": difference.toExponential(1), cohort },
    ]),
  ),
);
