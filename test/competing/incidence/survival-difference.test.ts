import assert from "node:assert/strict";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { kaplanMeier } from "../../../lib/survival/mod.ts";
import { survivalDifference } from "../../../lib/competing/incidence/survival-difference.ts";
import { assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

const rows = referenceRows("freireich.csv");
const time = numeric(rows, "time");
const event = numeric(rows, "status");
const group = rows.map((row) => row.arm ?? "");
const pair = numeric(rows, "pair");

Deno.test("survivalDifference() agrees with the curves of the 6-mercaptopurine trial", () => {
  // Source: cases.json, km-freireich (published survival and Greenwood errors).
  const { expected, tolerance } = referenceCase("km-freireich");
  const at = (arm: string, t: number) => {
    const { table } = expected[arm];
    const k = table.time.findLastIndex((event: number) => event <= t);
    return { survival: table.survival[k], error: table.seGreenwood[k] };
  };
  const [contrast] = survivalDifference({ time, event, group }, { times: [10] });
  const [drug, placebo] = [at("6-MP", 10), at("placebo", 10)];
  assert.deepEqual(contrast?.groups.map((g) => g.group), ["6-MP", "placebo"]);
  assertClose(contrast!.groups[0]!.estimate, drug.survival, tolerance);
  assertClose(contrast!.difference.estimate, placebo.survival - drug.survival, tolerance);
  // Identity: independent groups add their variances; unweighted, the jackknife is Greenwood's.
  assertClose(
    contrast!.difference.standardError,
    Math.hypot(drug.error, placebo.error),
    tolerance,
  );
});

Deno.test("survivalDifference() of matched pairs equals the squared pair influences (by brute force)", () => {
  // Identity: dropping one pair at a time in weight, the derivative of the difference, squared.
  const difference = (weight: Float64Array) => {
    const alive = ["6-MP", "placebo"].map((arm) => {
      const kept = group.flatMap((label, i) => label === arm ? [i] : []);
      const pick = (column: Float64Array) => Float64Array.from(kept, (i) => column[i] ?? NaN);
      const curve = kaplanMeier({ time: pick(time), event: pick(event), weight: pick(weight) });
      return curve.at([8]).survival[0] ?? NaN;
    });
    return alive[1]! - alive[0]!;
  };
  let squares = 0;
  for (const label of new Set(pair)) {
    const step = 1e-4;
    const up = pair.map((p) => p === label ? 1 + step : 1);
    const down = pair.map((p) => p === label ? 1 - step : 1);
    squares += ((difference(up) - difference(down)) / (2 * step)) ** 2;
  }
  const [contrast] = survivalDifference({ time, event, group, cluster: pair }, { times: [8] });
  assertClose(contrast!.difference.standardError, Math.sqrt(squares), {
    relative: 1e-6, // central differences of step 1e-4
    absolute: 0,
  });
});

Deno.test("survivalDifference() refuses a competing cause", () => {
  assert.throws(
    () => survivalDifference({ time: [1, 2], event: [1, 2], group: [0, 1] }, { times: [1] }),
    (error: unknown) =>
      error instanceof DataError && /event\[1\] must be 0 or 1/.test(error.message),
  );
});
