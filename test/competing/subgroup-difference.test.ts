import assert from "node:assert/strict";
import { subgroupDifference } from "../../lib/competing/incidence/subgroup-difference.ts";
import { incidenceDifference } from "../../lib/competing/incidence/incidence-difference.ts";
import { DataError } from "../../lib/numerics/errors.ts";
import { assertClose } from "../close.ts";

// By hand: no censoring, so every incidence is a plain share. Inside: repair 3 of 4, replacement
// 1 of 4; outside: repair 1 of 4, replacement 2 of 4. Differences +1/2 and -1/4 (second label
// "b" minus "a"), interaction 3/4; without censoring each share p of 4 has variance p(1 - p)/4.
const time = Float64Array.from({ length: 17 }, () => 1);
const event = [1, 1, 1, 2, 1, 2, 2, 2, 1, 2, 2, 2, 1, 1, 2, 2, 1];
const group = [..."bbbbaaaabbbbaaaab"];
const subgroup = [...Array(8).fill(1), ...Array(8).fill(0), NaN];

Deno.test("subgroupDifference() contrasts two differences (by hand)", () => {
  const found = subgroupDifference({ time, event, group }, subgroup, { cause: 1, time: 2 });
  assert.deepEqual(found.counts, { inside: 8, outside: 8, unknown: 1 });
  assertClose(found.inside.difference.estimate, 0.5);
  assertClose(found.outside.difference.estimate, -0.25);
  assertClose(found.interaction.estimate, 0.75);
  const variance = (0.75 * 0.25 + 0.25 * 0.75 + 0.25 * 0.75 + 0.5 * 0.5) / 4;
  assertClose(found.interaction.standardError, Math.sqrt(variance));
});

Deno.test("subgroupDifference() gives each side what incidenceDifference() gives it (identity)", () => {
  const found = subgroupDifference({ time, event, group }, subgroup, { cause: 1, time: 2 });
  const [alone] = incidenceDifference({
    time: time.slice(0, 8),
    event: event.slice(0, 8),
    group: group.slice(0, 8),
  }, { cause: 1, times: [2] });
  assert.deepEqual(found.inside, alone);
});

Deno.test("subgroupDifference() refuses clusters, other codes and a side without one group", () => {
  const refuses = (run: () => unknown, pattern: RegExp) =>
    assert.throws(run, (e: unknown) => e instanceof DataError && pattern.test(e.message));
  const options = { cause: 1, time: 2 };
  const clustered = { time, event, group, cluster: group };
  refuses(() => subgroupDifference(clustered, subgroup, options), /cluster must be left out/);
  refuses(
    () => subgroupDifference({ time, event, group }, subgroup.with(0, 2), options),
    /subgroup\[0\] must be 0, 1 or NaN, got 2/,
  );
  const lopsided = group.map((label) => label === "b" ? 1 : 0);
  refuses(() => subgroupDifference({ time, event, group }, lopsided, options), /both groups/);
});
