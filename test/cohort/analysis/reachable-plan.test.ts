import assert from "node:assert/strict";
import { reachablePlan } from "../../../lib/cohort/mod.ts";
import { analyse, replaced, type Row } from "../small-cohort.ts";

// By hand: everybody is followed for `years` at most; every fourth one dies half a year before.
const rows = (years: number, change: (i: number) => Row = () => ({})): Row[] =>
  Array.from({ length: 16 }, (_, i) => ({
    id: `P${100 + i}`,
    case_seq: i + 1,
    fu_days: Math.round(365.25 * (i % 8 < 2 ? years - 0.5 : years)),
    ...(i % 8 < 2 ? { dead: 1, death_cause: "cardiac" } : { dead: 0 }),
    ...(i % 2 ? replaced : {}),
    ...change(i),
  }));

async function planned(list: Row[], plan: Record<string, unknown>) {
  const { study, changes } = reachablePlan(await analyse(list, [], plan));
  const { horizons, mainHorizon, restrictedMeanHorizon } = study;
  return { horizons, mainHorizon, restrictedMeanHorizon, changes };
}

const plan = { horizons: [1, 5, 30], mainHorizon: 5, restrictedMeanHorizon: 5 };

Deno.test("reachablePlan() leaves a plan as it is where both groups were followed so long", async () => {
  const kept = { horizons: [1, 5], mainHorizon: 5, restrictedMeanHorizon: 5 };
  assert.deepEqual(await planned(rows(8), kept), { ...kept, changes: [] });
});

Deno.test("reachablePlan() drops times past follow-up and says so once", async () => {
  const { changes, ...left } = await planned(rows(8), plan);
  assert.deepEqual(left, { horizons: [1, 5], mainHorizon: 5, restrictedMeanHorizon: 5 });
  assert.equal(changes.length, 1);
  assert.match(changes[0]!, /30 years after operation.*no result is stated there/);
});

Deno.test("reachablePlan() goes by the group that was followed least", async () => {
  const short = rows(8, (i): Row => i % 2 ? { fu_days: 1000, dead: 0, death_cause: "" } : {});
  const { horizons, mainHorizon, restrictedMeanHorizon, changes } = await planned(short, plan);
  assert.deepEqual([horizons, mainHorizon, restrictedMeanHorizon], [[1], 1, 2]);
  assert.equal(changes.length, 3);
  assert.match(changes[1]!, /main answer is stated at 1 year,/);
  assert.match(changes[2]!, /within the first 2 years, not 5 as planned/);
});

Deno.test("reachablePlan() names a time of its own only where no planned one is reached", async () => {
  const { horizons, mainHorizon, changes } = await planned(rows(0.9), {
    horizons: [5, 10],
    mainHorizon: 10,
    restrictedMeanHorizon: 10,
  });
  assert.deepEqual([horizons, mainHorizon], [[0.75], 0.75]);
  assert.match(changes[1]!, /0\.75 years instead, which the plan does not name/);
});

Deno.test("reachablePlan() takes a curve that reached 0 as known ever after", async () => {
  const died = rows(3, () => ({ dead: 1, death_cause: "cardiac" }));
  const { horizons, restrictedMeanHorizon } = await planned(died, plan);
  assert.deepEqual([horizons, restrictedMeanHorizon], [[1, 5, 30], 3]);
});

Deno.test("reachablePlan() leaves a cohort with one group alone", async () => {
  const { horizons, changes } = await planned(rows(8, () => ({ ...replaced })), plan);
  assert.deepEqual([horizons, changes], [[1, 5, 30], []]);
});
