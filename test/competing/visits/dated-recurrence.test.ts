import assert from "node:assert/strict";
import { DataError, datedRecurrence, recurrenceShortcuts, SeededRandom } from "mitral";

/** Invented: looked at each year, recurrence of some after repair found at the next look. */
function looked(n: number, { replacementsLeak = true } = {}) {
  const random = new SeededRandom(9);
  const treated = Uint8Array.from({ length: n }, (_, i) => i % 2);
  const onset = Float64Array.from(treated, (t) => -Math.log(random.uniform()) * (t === 1 ? 8 : 40));
  const time = Float64Array.from(treated, () => 2 + 6 * random.uniform());
  const clearUntil = (i: number) => Math.min(Math.floor(onset[i]!), Math.floor(time[i]!));
  const leaks = (i: number) => treated[i] === 1 || replacementsLeak;
  return {
    rows: Int32Array.from(treated, (_, i) => i),
    treated,
    lastClear: Float64Array.from(
      treated,
      (_, i) => leaks(i) ? clearUntil(i) : Math.floor(time[i]!),
    ),
    found: Float64Array.from(
      treated,
      (_, i) => leaks(i) && Math.ceil(onset[i]!) <= time[i]! ? Math.ceil(onset[i]!) : Infinity,
    ),
    time,
    death: Uint8Array.from(treated, () => random.uniform() < 0.3 ? 1 : 0),
  };
}

const options = { times: [1, 3, 5] };

Deno.test("datedRecurrence() dates each group by itself, repair first", () => {
  const data = looked(400);
  const weight = new Float64Array(400).fill(1);
  const dated = datedRecurrence(data, { ...options, weight });
  assert.deepEqual(dated.map(({ group }) => group), [1, 0]);
  const own = Array.from(data.rows).filter((i) => data.treated[i] === 1);
  const pick = (column: Float64Array | Uint8Array) => Float64Array.from(own, (i) => column[i]!);
  const alone = recurrenceShortcuts({
    lastClear: pick(data.lastClear),
    found: pick(data.found),
    time: pick(data.time),
    death: pick(data.death),
    weight: pick(weight),
  }, { times: options.times });
  assert.deepEqual(dated[0]!.ways, alone);
});

Deno.test("datedRecurrence() leaves out a group in which nobody recurred", () => {
  const data = looked(200, { replacementsLeak: false });
  const weight = new Float64Array(200).fill(1);
  const once = datedRecurrence(data, { ...options, weight });
  assert.deepEqual(once.map(({ group }) => group), [1]);
  assert.throws(() => datedRecurrence(data, { ...options, weight: [] }), DataError);
});
