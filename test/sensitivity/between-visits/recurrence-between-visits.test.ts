import { deepEqual, equal, match, ok } from "node:assert/strict";
import { intervalCensoredIncidence } from "../../../lib/competing/mod.ts";
import { reweightedIncidence } from "../../../lib/competing/visits/mod.ts";
import { DataError, filterRows } from "../../../lib/numerics/mod.ts";
import { betweenVisitsSentence, betweenVisitsTable } from "../../../lib/report/mod.ts";
import {
  limitsHeld,
  recurrenceBetweenVisits,
  whereLimitsHeld,
} from "../../../lib/sensitivity/mod.ts";
import { resampler } from "../../../lib/sensitivity/bootstrap/mod.ts";
import { betweenVisitsDifference } from "../../../lib/sensitivity/paths/between-visits-path.ts";
import { analyse, replaced } from "../../cohort/small-cohort.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { columns, looked, near, repaired, treated, weight } from "./demo-visits.ts";

// Identity: the same patients, the same weights.
Deno.test("reweightedIncidence() is intervalCensoredIncidence() under the same weights, drawn ones too", () => {
  const times = [1, 5, 10];
  const { sample, under } = reweightedIncidence(repaired, times);
  assertAllClose(sample.incidence, intervalCensoredIncidence(repaired).at(times).incidence, near);
  const drawn = new Float64Array(repaired.weight.length);
  for (const row of resampler(drawn.length, 3)(0).rows) drawn[row]! += repaired.weight[row]!;
  const some = { ...repaired, weight: drawn };
  const kept = filterRows(some, (i) => drawn[i]! > 0);
  // other places where patients are left out: within an interval the curve is not determined
  const direct = intervalCensoredIncidence(kept).at(times).incidence;
  assertAllClose(under(drawn).incidence, direct, { relative: 0, absolute: 0.01 });
  deepEqual([...under(new Float64Array(drawn.length)).incidence], [0, 0, 0]);
});

// By hand: two patients of each operation, looked at once, no leak found.
Deno.test("recurrenceBetweenVisits() gives no difference where hardly any recurrence was found", async () => {
  const visits = ["P0001", "P0002", "P0003", "P0004"].map((id) => ({ id, day: 400, mr: 0 }));
  const small = await analyse([{}, {}, replaced, replaced], visits);
  const { contrasts, reason, found, atRisk } = await recurrenceBetweenVisits(small, small.study);
  deepEqual([contrasts, reason], [[], "few-found"]);
  deepEqual(found, { repair: 0, replacement: 0 });
  deepEqual(atRisk, { repair: 2, replacement: 2 });
});

Deno.test("whereLimitsHeld() leaves out horizons at which limits held the truth too seldom", () => {
  const contrast = (years: number) => ({
    time: years,
    groups: [],
    difference: { estimate: 0, standardError: 1, lower: -1, upper: 1, pValue: 1 },
  });
  const shown = whereLimitsHeld({
    contrasts: [1, 5].map(contrast),
    beyond: [],
    atRisk: { repair: 100, replacement: 100 },
    found: { repair: 10, replacement: 10 },
    replicates: 200,
  });
  // what the calibration found: between-visits-results.md
  const seldom = limitsHeld().flatMap(({ quantities }) => quantities).filter((one) =>
    one.quantity === "recurrence between visits" && one.of === "repair - replacement" &&
    one.coverage < 0.95 - 3 * Math.sqrt(0.95 * 0.05 / one.cohorts)
  ).map(({ time }) => time);
  const years = [1, 5];
  deepEqual(shown.unsound, years.filter((time) => seldom.includes(time)));
  deepEqual(
    shown.contrasts.map(({ time }) => time),
    years.filter((time) => !seldom.includes(time)),
  );
  const left = { ...shown, unsound: [1], contrasts: [contrast(5)] };
  const text = betweenVisitsSentence(left);
  match(text, /^The difference between visits is given at 5 years, with limits from 200 draws/);
  match(text, /At 1 year none is given, since there, in \d+ simulated cohorts/);
  const none = { ...shown, contrasts: [], unsound: [], replicates: 0 };
  match(betweenVisitsSentence({ ...none, reason: "few-found" }), /fewer than five recurrences/);
  match(betweenVisitsSentence({ ...none, reason: "no-visits" }), /no echocardiogram reaches/);
  const heading = { id: "x", title: "t", caption: "c", labels: { repair: "A", replacement: "B" } };
  equal(betweenVisitsTable(heading, none).rows.length, 0);
});

Deno.test("betweenVisitsDifference() of a path is the weighted estimate, and refuses few recurrences", () => {
  const options = { time: 5, seed: 1 };
  const path = betweenVisitsDifference(looked, weight, options);
  const direct = [1, 0].map((code) =>
    intervalCensoredIncidence(filterRows(columns, (i) => treated[i] === code)).at([5]).incidence[0]!
  );
  assertClose(path.estimate, direct[0]! - direct[1]!, near);
  ok(path.standardError > 0.005 && path.standardError < 0.08);
  const clear = { ...looked, found: looked.found.map((t, i) => treated[i] === 0 ? Infinity : t) };
  let refused = false;
  try {
    betweenVisitsDifference(clear, weight, options);
  } catch (error) {
    refused = error instanceof DataError && error.argument === "found";
  }
  ok(refused);
});
