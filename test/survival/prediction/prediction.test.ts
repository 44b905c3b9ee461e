import assert from "node:assert/strict";
import { areaUnderCurve, brierScore, concordance } from "mitral";
import { assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

// Reference: see the source of each case.
Deno.test("concordance() of a given score agrees with reference case concordance-score-lung", () => {
  const { data, columns, expected, options, tolerance } = referenceCase("concordance-score-lung");
  const all = referenceRows(data!);
  const variants = Object.entries(
    options.variants as Record<string, {
      score: string;
      stratum?: string;
      weight?: string;
      cluster?: string;
      firstRows?: number;
      sign?: number;
    }>,
  );
  for (const [name, how] of variants) {
    const rows = all.slice(0, how.firstRows);
    const labels = (column: string) => rows.map((row) => row[column]!);
    const found = concordance({
      time: numeric(rows, columns.time!),
      event: numeric(rows, columns.event!),
      score: numeric(rows, how.score).map((value) => value * (how.sign ?? 1)),
      ...(how.stratum && { stratum: labels(how.stratum) }),
      ...(how.cluster && { cluster: labels(how.cluster) }),
      ...(how.weight && { weight: numeric(rows, how.weight) }),
    });
    const want = expected[name];
    assertClose(found.estimate, want.estimate, tolerance, name);
    assertClose(found.standardError, want.standardError, tolerance, name);
    assertClose(found.concordant, want.concordant, tolerance, name);
    assertClose(found.discordant, want.discordant, tolerance, name);
    assertClose(found.tied, want.tiedScore, tolerance, name);
  }
});

Deno.test("brierScore() and areaUnderCurve() agree with reference case brier-auc-pbc", () => {
  const { data, columns, expected, tolerance } = referenceCase("brier-auc-pbc");
  const rows = referenceRows(data!);
  const event = numeric(rows, columns.event!);
  const risks = ["risk1000", "risk2000", "risk3500"].map((column) => numeric(rows, column));
  for (const [unit, column] of [["days", columns.time!], ["tied", columns.tiedTime!]] as const) {
    const want = expected[unit].eventsBeforeCensorings;
    const time = numeric(rows, column);
    (want.time as number[]).forEach((at, k) => {
      const brier = brierScore({ time, event, predicted: risks[k]! }, { at });
      assertClose(brier.estimate, want.brier[k], tolerance, `${unit} ${at}`);
      assertClose(brier.reference, want.brierReference[k], tolerance, `${unit} ${at}`);
      assertClose(brier.scaled, want.index[k], tolerance, `${unit} ${at}`);
      const area = (score: Float64Array) => areaUnderCurve({ time, event, score }, { at }).estimate;
      assertClose(area(numeric(rows, columns.score!)), want.aucScore[k], tolerance);
      assertClose(area(risks[k]!), want.aucRisk[k], tolerance);
    });
  }
});

Deno.test("brierScore() and areaUnderCurve() with competing events agree with the reference", () => {
  const { data, expected, options, tolerance } = referenceCase("brier-auc-competing-mgus2");
  const rows = referenceRows(data!);
  const time = numeric(rows, "time");
  const event = numeric(rows, "cause");
  const want = expected.eventsBeforeCensorings;
  (options.times as number[]).forEach((at, k) => {
    const predicted = numeric(rows, `risk${at}`);
    const brier = brierScore({ time, event, predicted }, { at, cause: 1 });
    assertClose(brier.estimate, want.brier[k], tolerance);
    assertClose(brier.reference, want.brierReference[k], tolerance);
    assertClose(brier.scaled, want.index[k], tolerance);
    const score = numeric(rows, "score");
    const area = areaUnderCurve({ time, event, score }, { at, cause: 1 });
    assertClose(area.estimate, want.aucScore[k], tolerance);
  });
});

// Identity: without censoring by the horizon nothing is weighted; whole weights are repeated rows.
Deno.test("prediction: plain where nobody is censored, and weights repeat rows", () => {
  const time = [1, 2, 3, 4];
  const event = [1, 0, 1, 0];
  const predicted = [0.9, 0.2, 0.4, 0.1];
  assertClose(
    brierScore({ time, event: [1, 1, 0, 0], predicted }, { at: 2 }).estimate,
    (0.01 + 0.64 + 0.16 + 0.01) / 4,
  );
  const weighted = { time, event, predicted, weight: [2, 1, 1, 1] };
  const repeated = { time: [1, ...time], event: [1, ...event], predicted: [0.9, ...predicted] };
  assertClose(brierScore(weighted, { at: 3 }).estimate, brierScore(repeated, { at: 3 }).estimate);
});

Deno.test("prediction: what cannot be known is refused", () => {
  const data = { time: [1, 2], event: [1, 0] };
  assert.throws(() => brierScore({ ...data, predicted: [1, 2] }, { at: 1 }), /predicted\[1\]/);
  assert.throws(() => brierScore({ ...data, predicted: [1, 0] }, { at: 3 }), /last observed time/);
  assert.throws(
    () => areaUnderCurve({ ...data, score: [1, 0] }, { at: 0.5 }),
    /have had the event/,
  );
  assert.throws(() => concordance({ time: [1, 1], event: [1, 1], score: [1, 2] }), /outlasts/);
  assert.throws(
    () => brierScore({ ...data, predicted: [1, 0], entry: [0, 0] } as never, { at: 1 }),
    /entry must be left out/,
  );
});
