import assert from "node:assert/strict";
import { DataError, kaplanMeier, kaplanMeierByGroup, medianFollowUp } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

const SCALES = { plain: "plain", log: "log", loglog: "log-log" } as const;

interface ExpectedCurve {
  n: number;
  events: number;
  table: Record<string, (number | null)[]>;
  quantiles: Record<string, (number | null)[]>;
}
type Data = Parameters<typeof kaplanMeier>[0];
type Options = Parameters<typeof kaplanMeier>[1];
type Close = { relative: number; absolute: number };

/** Every column of a case's table, at its times, and its quantiles, on all three scales. */
function checkCurve(data: Data, expected: ExpectedCurve, tolerance: Close, options?: Options) {
  for (const [prefix, interval] of Object.entries(SCALES)) {
    const curve = kaplanMeier(data, { ...options, interval });
    assert.equal(curve.n, expected.n);
    assert.equal(curve.events, expected.events);
    const { table } = expected;
    const seen = curve.at(table.time as number[]);
    assertAllClose(seen.atRisk, table.nRisk!, tolerance, "at risk");
    // The cases carry the last value forward; here the curve ends at the last observed time.
    const last = curve.time.at(-1)!;
    const ended = curve.survival.at(-1) === 0;
    const known = (column: string) =>
      table[column]!.map((value, i) => table.time![i]! > last && !ended ? null : value);
    assertAllClose(seen.survival, known("survival"), tolerance, "survival");
    assertAllClose(seen.standardError, known("seGreenwood"), tolerance, "standard error");
    assertAllClose(seen.lower, known(`${prefix}Lower`), tolerance, `${prefix} lower`);
    assertAllClose(seen.upper, known(`${prefix}Upper`), tolerance, `${prefix} upper`);
    if (table.nEvent) {
      const rows = curve.time.map((_, j) => j).filter((j) => curve.event[j]! > 0);
      assertAllClose(rows.map((j) => curve.time[j]!), table.time!, tolerance, "event times");
      assertAllClose(rows.map((j) => curve.event[j]!), table.nEvent, tolerance, "events");
    }
    checkQuantiles(curve, expected.quantiles, prefix, tolerance);
  }
}

function checkQuantiles(
  curve: ReturnType<typeof kaplanMeier>,
  expected: Record<string, (number | null)[]>,
  prefix: string,
  tolerance: Close,
) {
  expected.p!.forEach((p, i) => {
    const { estimate, lower, upper } = curve.quantile(p!);
    assertClose(estimate, expected.estimate![i]!, tolerance, `quantile ${p}`);
    assertClose(lower, expected[`${prefix}Lower`]![i]!, tolerance, `quantile ${p} ${prefix} lower`);
    assertClose(upper, expected[`${prefix}Upper`]![i]!, tolerance, `quantile ${p} ${prefix} upper`);
  });
}

/** The rows of a data file by the value of a column, as follow-up. */
function followUpBy(
  file: string,
  names: { time: string; event: string; group?: string; entry?: string; weight?: string },
): Map<string, Data> {
  const parts = Map.groupBy(
    referenceRows(file),
    (row) => names.group === undefined ? "all" : row[names.group]!,
  );
  return new Map([...parts].map(([label, rows]) => [label, {
    time: numeric(rows, names.time),
    event: numeric(rows, names.event),
    ...(names.entry && { entry: numeric(rows, names.entry) }),
    ...(names.weight && { weight: numeric(rows, names.weight) }),
  }]));
}

// Source: Kaplan & Meier (1958) JASA 53:457-481, example of eight; by hand.
Deno.test("kaplanMeier() gives the eight-subject example of the founding paper", () => {
  const curve = kaplanMeier({
    time: [0.8, 1, 2.7, 3.1, 5.4, 7, 9.2, 12.1],
    event: [1, 0, 0, 1, 1, 0, 1, 0],
  });
  assertAllClose(curve.at([0.8, 3.1, 5.4, 9.2]).survival, [0.875, 0.7, 0.525, 0.2625]);
});

// Source: Collett, Modelling Survival Data in Medical Research, IUD discontinuation; from memory.
Deno.test("kaplanMeier() gives the printed IUD curve and median", () => {
  const curve = kaplanMeier({
    time: [10, 13, 18, 19, 23, 30, 36, 38, 54, 56, 59, 75, 93, 97, 104, 107, 107, 107],
    event: [1, 0, 0, 1, 0, 1, 1, 0, 0, 0, 1, 1, 1, 1, 0, 1, 0, 0],
  });
  assertAllClose(
    curve.at([10, 19, 30, 36, 59, 75, 93, 97, 107]).survival,
    [0.944, 0.881, 0.814, 0.746, 0.653, 0.559, 0.466, 0.373, 0.249],
    { relative: 0, absolute: 5e-4 },
  );
  assert.equal(curve.quantile(0.5).estimate, 93);
});

// By hand: times 1, 2, 3+, 4, 5+; the variance of log S(4) is 1/20 + 1/12 + 1/2 = 19/30, so
// S(4) = 0.3 with log-log limits 0.0123 and 0.719.
Deno.test("kaplanMeier() gives Greenwood's variance of five subjects", () => {
  const curve = kaplanMeier({ time: [1, 2, 3, 4, 5], event: [1, 1, 0, 1, 0] });
  const { survival, standardError, lower, upper } = curve.at([4]);
  assertClose(survival[0]!, 0.3);
  assertClose((standardError[0]! / 0.3) ** 2, 19 / 30);
  assertClose(lower[0]!, 0.0123, { relative: 0, absolute: 5e-5 });
  assertClose(upper[0]!, 0.719, { relative: 0, absolute: 5e-4 });
});

// By hand: at time 2, at risk are the four rows with entry < 2 (entries 0, 0, 1, 1), one fails.
Deno.test("kaplanMeier() keeps a row out of the risk set until after its entry", () => {
  const curve = kaplanMeier({
    time: [2, 3, 3, 4, 5, 6],
    event: [1, 1, 1, 1, 1, 1],
    entry: [0, 0, 1, 1, 2, 2],
  });
  assert.equal(curve.atRisk[0], 4);
  assert.equal(curve.survival[0], 0.75);
  assert.equal(curve.at([2.5]).atRisk[0], 5);
  assert.equal(curve.at([1]).atRisk[0], 2, "entries at 1 are not yet at risk at 1");
});

for (
  const [id, names] of [
    ["km-freireich", { time: "time", event: "status", group: "arm" }],
    ["km-aml", { time: "time", event: "status", group: "maintained" }],
    ["km-veteran-celltype", { time: "time", event: "status", group: "celltype" }],
    ["km-lung-sex", { time: "time", event: "status", group: "sex" }],
    ["km-lung-all-times", { time: "time", event: "status" }],
    ["km-mgus2", { time: "futime", event: "death", group: "male" }],
    ["km-left-truncated-heart", {
      time: "stop",
      event: "event",
      entry: "start",
      group: "transplant",
    }],
  ] as const
) {
  Deno.test(`kaplanMeier() matches reference case ${id}`, () => {
    const { data, expected, tolerance } = referenceCase(id);
    const parts = followUpBy(data!, names);
    assert.deepEqual([...parts.keys()].sort(), Object.keys(expected).sort());
    for (const [label, part] of parts) checkCurve(part, expected[label], tolerance);
  });
}

Deno.test("kaplanMeier() matches reference case km-weighted-lung, both variances", () => {
  const { data, expected, tolerance } = referenceCase("km-weighted-lung");
  const names = { time: "time", event: "status", group: "female", weight: "w" };
  for (const [label, part] of followUpBy(data!, names)) {
    checkCurve(part, expected.robust[label], tolerance);
    checkCurve(part, expected.greenwood[label], tolerance, { variance: "greenwood" });
  }
});

for (
  const [id, event] of [["reverse-km-lung", "status"], ["reverse-km-pbc", "death"]] as const
) {
  Deno.test(`medianFollowUp() matches reference case ${id}`, () => {
    const { data, expected, tolerance } = referenceCase(id);
    const part = followUpBy(data!, { time: "time", event }).get("all")!;
    for (const [prefix, interval] of Object.entries(SCALES)) {
      expected.quantiles.p.forEach((share: number, i: number) => {
        const found = medianFollowUp(part, { interval, share });
        assert.equal(found.n, expected.n);
        assert.equal(found.censored, expected.events);
        assertClose(found.estimate, expected.quantiles.estimate[i], tolerance);
        assertClose(found.lower, expected.quantiles[`${prefix}Lower`][i], tolerance);
        assertClose(found.upper, expected.quantiles[`${prefix}Upper`][i], tolerance);
      });
    }
  });
}

// Reference: R 4.2.2, survival 3.5-3; limits on the log scale.
Deno.test("medianFollowUp() gives the follow-up of men and women in lung", () => {
  const parts = followUpBy("lung.csv", { time: "time", event: "status", group: "sex" });
  const men = medianFollowUp(parts.get("1")!, { interval: "log" });
  const women = medianFollowUp(parts.get("2")!, { interval: "log" });
  assert.deepEqual([men.estimate, men.lower, men.upper], [840, 806, NaN]);
  assert.deepEqual([women.estimate, women.lower, women.upper], [529, 376, NaN]);
});

Deno.test("kaplanMeierByGroup() equals kaplanMeier() on each group's rows", () => {
  const rows = referenceRows("lung-weighted.csv");
  const all = {
    time: numeric(rows, "time"),
    event: numeric(rows, "status"),
    weight: numeric(rows, "w"),
    group: rows.map((row) => row.female!),
  };
  const names = { time: "time", event: "status", group: "female", weight: "w" };
  const parts = followUpBy("lung-weighted.csv", names);
  for (const { group, curve } of kaplanMeierByGroup(all)) {
    const alone = kaplanMeier(parts.get(String(group))!);
    assertAllClose(curve.survival, alone.survival);
    assertAllClose(curve.standardError, alone.standardError);
    assertAllClose(curve.upper, alone.upper);
    assert.equal(curve.n, alone.n);
  }
});

Deno.test("kaplanMeier() counts an event at time 0 and drops there", () => {
  const curve = kaplanMeier({ time: [0, 0, 1, 2], event: [1, 1, 1, 0] });
  assert.deepEqual([...curve.time], [0, 1, 2]);
  assert.deepEqual([...curve.survival], [0.5, 0.25, 0.25]);
  assert.deepEqual([...curve.at([0]).atRisk], [4]);
  assert.equal(curve.quantile(0.5).estimate, 0.5, "midpoint of the flat step from 0 to 1");
});

Deno.test("kaplanMeier() reaches exactly 0, without limits, when everyone at risk fails", () => {
  for (const n of [1, 3, 7, 49]) {
    const weight = Array.from({ length: n }, (_, i) => 0.1 + i / 7);
    for (const extra of [{}, { weight }]) {
      const curve = kaplanMeier({ time: Array(n).fill(0), event: Array(n).fill(1), ...extra });
      assert.deepEqual([...curve.survival], [0]);
      assert.deepEqual([...curve.lower, ...curve.standardError], [NaN, NaN]);
      assert.equal(curve.at([5]).survival[0], 0, "0 stays 0 past the last time");
    }
  }
});

Deno.test("kaplanMeier() stays at 1 with limits [1, 1] without events, and NaN past the end", () => {
  const curve = kaplanMeier({ time: [2, 3], event: [0, 0] });
  const { survival, lower, upper, standardError } = curve.at([0, 2, 3, 3.5]);
  assert.deepEqual([...survival], [1, 1, 1, NaN]);
  assert.deepEqual([...lower], [1, 1, 1, NaN]);
  assert.deepEqual([...upper], [1, 1, 1, NaN]);
  assert.deepEqual([...standardError], [0, 0, 0, NaN]);
  assert.deepEqual(curve.quantile(0.5), { estimate: NaN, lower: NaN, upper: NaN });
});

Deno.test("kaplanMeier() ties times computed two ways, and finds them in at()", () => {
  const third = 0.1 + 0.2; // not 0.3
  const curve = kaplanMeier({ time: [0.3, third, 1], event: [1, 1, 0] });
  assert.deepEqual([...curve.time], [0.3, 1]);
  assert.equal(curve.event[0], 2);
  assertClose(curve.at([0.3 - 1e-12]).survival[0]!, 1 / 3);
});

Deno.test("kaplanMeier() leaves its input alone", () => {
  const time = Float64Array.of(3, 1, 2, 1 + 1e-13);
  const event = Float64Array.of(1, 0, 1, 1);
  const weight = Float64Array.of(1, 2, 1, 1);
  const before = [time.slice(), event.slice(), weight.slice()];
  kaplanMeier({ time, event, weight });
  assert.deepEqual([time, event, weight], before);
});

Deno.test("kaplanMeier() names what is wrong with its input", () => {
  const cases: [Data, Options, string][] = [
    [{ time: [], event: [] }, {}, "time"],
    [{ time: [1, -1], event: [1, 0] }, {}, "time"],
    [{ time: [1, NaN], event: [1, 0] }, {}, "time"],
    [{ time: [1, 2], event: [1, 2] }, {}, "event"],
    [{ time: [1, 2], event: [1] }, {}, "event"],
    [{ time: [1, 2], event: [1, 0], entry: [0, 2] }, {}, "entry"],
    [{ time: [1, 2], event: [1, 0], weight: [1, 0] }, {}, "weight"],
    [{ time: [1, 2], event: [1, 0] }, { confidence: 95 }, "confidence"],
    [{ time: [1, 2], event: [1, 0] }, { interval: "logit" as "log" }, "interval"],
  ];
  for (const [data, options, argument] of cases) {
    assert.throws(
      () => kaplanMeier(data, options),
      (error: unknown) => error instanceof DataError && error.argument === argument,
      argument,
    );
  }
  const curve = kaplanMeier({ time: [1, 2], event: [1, 0] });
  assert.throws(() => curve.quantile(50), /p must be between 0 and 1, got 50/);
  assert.throws(() => curve.at([NaN]), /times\[0\]/);
});
