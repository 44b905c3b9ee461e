import { deepEqual, ok, rejects } from "node:assert/strict";
import { intervalCensoredIncidence } from "../../../lib/competing/mod.ts";
import { DataError, filterRows } from "../../../lib/numerics/mod.ts";
import { recurrenceBetweenVisits } from "../../../lib/sensitivity/mod.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { analysis, columns, near, repaired, study, treated } from "./demo-visits.ts";

Deno.test("recurrenceBetweenVisits() compares the weighted estimates, and draws alike with any workers", async () => {
  const options = { replicates: 20, horizons: [5, 30] };
  const here = await recurrenceBetweenVisits(analysis, study, { ...options, workers: 0 });
  deepEqual(await recurrenceBetweenVisits(analysis, study, { ...options, workers: 2 }), here);
  deepEqual(here.beyond, [30]);
  const [{ groups, difference }] = here.contrasts as [typeof here.contrasts[number]];
  const replacement = filterRows(columns, (i) => treated[i] === 0);
  const direct = [replacement, repaired].map((own) =>
    intervalCensoredIncidence(own).at([5]).incidence[0]!
  );
  assertAllClose(groups.map(({ estimate }) => estimate), direct, near);
  assertClose(difference.estimate, groups[1]!.estimate - groups[0]!.estimate);
  for (const { lower, estimate, upper } of [...groups, difference]) {
    ok(lower < estimate && estimate < upper);
  }
  ok(groups.every(({ lower, upper }) => lower >= 0 && upper <= 1));
  await rejects(recurrenceBetweenVisits(analysis, study, { replicates: 1 }), DataError);
});
