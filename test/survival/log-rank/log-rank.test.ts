import assert from "node:assert/strict";
import { DataError, logRank, type LogRankOptions } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

type Close = { relative: number; absolute: number };

const FAMILY: Record<string, LogRankOptions> = {
  logrank: {},
  gehanWilcoxon: { weighting: "at-risk" },
  taroneWare: { weighting: "root-at-risk" },
  petoPetoModified: { weighting: "shrunken-survival" },
  flemingHarringtonRho1: { rho: 1 },
  flemingHarringtonRho1Gamma1: { rho: 1, gamma: 1 },
  flemingHarringtonRho0Gamma1: { gamma: 1 },
};

// deno-lint-ignore no-explicit-any -- expected values as they are in the case
function checkTest(test: ReturnType<typeof logRank>, expected: any, tolerance: Close) {
  assert.deepEqual(test.groups.map(({ group }) => group), expected.groups);
  assertAllClose(test.groups.map((g) => g.observed), expected.observedWeighted, tolerance, "O");
  assertAllClose(test.groups.map((g) => g.expected), expected.expectedWeighted, tolerance, "E");
  assertAllClose(test.covariance, expected.variance.flat(), tolerance, "covariance");
  assertClose(test.statistic, expected.chisq, tolerance, "statistic");
  assert.equal(test.degreesOfFreedom, expected.df);
  assertClose(test.pValue, expected.p, tolerance, "p value");
}

/** Follow-up of a file's rows, those with the group and the stratum known. */
function grouped(
  file: string,
  names: { time: string; event: string; group: string; stratum?: string },
): Parameters<typeof logRank>[0] {
  const rows = referenceRows(file).filter((row) =>
    row[names.group] !== "" && row[names.group] !== "NA" &&
    (!names.stratum || row[names.stratum] !== "" && row[names.stratum] !== "NA")
  );
  return {
    time: numeric(rows, names.time),
    event: numeric(rows, names.event),
    group: rows.map((row) => row[names.group]!),
    ...(names.stratum && { stratum: rows.map((row) => row[names.stratum!]!) }),
  };
}

// Source: Freireich et al. (1963) data; 16.793 and expected 19.25, 10.75 as printed in course
// texts (from memory), recomputed with R 4.2.2, survival 3.5-3.
Deno.test("logRank() gives the printed 6-MP test", () => {
  const test = logRank(grouped("freireich.csv", { time: "time", event: "status", group: "arm" }));
  assertClose(test.statistic, 16.793, { relative: 0, absolute: 5e-4 });
  assertClose(test.groups[0]!.expected, 19.25, { relative: 0, absolute: 5e-3 });
});

// Source: Collett, Modelling Survival Data in Medical Research, breast staining; from memory:
// log-rank 3.515, Wilcoxon 4.180.
Deno.test("logRank() gives the printed breast staining tests", () => {
  const negative = "23 47 69 70+ 71+ 100+ 101+ 148 181 198+ 208+ 212+ 224+".split(" ");
  const positive = ("5 8 10 13 18 24 26 26 31 35 40 41 48 50 59 61 68 71 76+ 105+ 107+ 109+ 113 " +
    "116+ 118 143 154+ 162+ 188+ 212+ 217+ 225+").split(" ");
  const marks = [...negative, ...positive];
  const data = {
    time: marks.map(parseFloat),
    event: marks.map((mark) => mark.endsWith("+") ? 0 : 1),
    group: marks.map((_, i) => i < negative.length ? "negative" : "positive"),
  };
  const printed = { relative: 0, absolute: 5e-4 };
  assertClose(logRank(data).statistic, 3.515, printed);
  assertClose(logRank(data, { weighting: "at-risk" }).statistic, 4.18, printed);
});

const AML = { time: "time", event: "status", group: "maintained" };

// Source: Miller (1981); 3.396 and, for the Peto form, 2.779 recomputed with survival 3.5-3.
Deno.test("logRank() gives the printed AML tests", () => {
  const data = grouped("aml.csv", AML);
  assertClose(logRank(data).statistic, 3.396, { relative: 0, absolute: 5e-4 });
  assertClose(logRank(data, { rho: 1 }).statistic, 2.779, { relative: 0, absolute: 5e-4 });
});

const VETERAN = { time: "time", event: "status" };
for (
  const [id, names, part] of [
    ["logrank-freireich", { time: "time", event: "status", group: "arm" }, undefined],
    ["logrank-aml", AML, undefined],
    ["logrank-veteran-4groups", { ...VETERAN, group: "celltype" }, undefined],
    ["logrank-stratified-veteran", { ...VETERAN, group: "trt", stratum: "celltype" }, undefined],
    ["logrank-ovarian", { time: "futime", event: "fustat", group: "rx" }, undefined],
    ["logrank-lung-sex", { ...VETERAN, group: "sex" }, undefined],
    ["logrank-stratified-lung", { ...VETERAN, group: "sex", stratum: "inst" }, undefined],
    ["logrank-pbc", { time: "time", event: "death", group: "trt" }, "unstratified"],
    [
      "logrank-pbc",
      { time: "time", event: "death", group: "trt", stratum: "stage" },
      "stratifiedByStage",
    ],
  ] as const
) {
  Deno.test(`logRank() matches reference case ${id} ${part ?? ""}, all time weights`, () => {
    const { data, expected, tolerance } = referenceCase(id);
    const family = part ? expected[part] : expected;
    assert.deepEqual(Object.keys(family).sort(), Object.keys(FAMILY).sort());
    for (const [name, options] of Object.entries(FAMILY)) {
      checkTest(logRank(grouped(data!, names), options), family[name], tolerance);
    }
  });
}

Deno.test("logRank() matches reference case logrank-stratified-pairs-freireich", () => {
  const { data, expected, tolerance } = referenceCase("logrank-stratified-pairs-freireich");
  const names = { time: "time", event: "status", group: "arm", stratum: "pair" };
  checkTest(logRank(grouped(data!, names)), expected, tolerance);
});

// By hand: weights 2 and 1, so at time 1 p = (2/3, 1/3). For group a, c = w (e - p) is 2 (1/3) =
// 2/3 for the first row and 1 (-2/3) = -2/3 for the second; one of the two is drawn, so the
// variance is the mean of c^2 = 4/9, U = 2 (1 - 2/3) = 2/3 and the statistic (4/9) / (4/9) = 1.
Deno.test("logRank() takes case weights as fixed labels that are drawn", () => {
  const data = { time: [1, 2], event: [1, 1], group: ["a", "b"], weight: [2, 1] };
  const test = logRank(data);
  assertClose(test.groups[0]!.observed - test.groups[0]!.expected, 2 / 3);
  assertClose(test.covariance[0]!, 4 / 9);
  assertClose(test.statistic, 1);
});

Deno.test("logRank() drops a group that has nobody at risk at any event", () => {
  const two = { time: [1, 2, 3, 4], event: [1, 1, 1, 0], group: ["a", "b", "a", "b"] };
  const three = {
    time: [...two.time, 0.5, 0.4],
    event: [...two.event, 0, 0],
    group: [...two.group, "c", "c"],
  };
  const test = logRank(three);
  assert.equal(test.degreesOfFreedom, 1);
  assertClose(test.statistic, logRank(two).statistic);
  assert.equal(test.groups[2]!.expected, 0);
});

Deno.test("logRank() says p = 1 on 0 degrees of freedom when there is nothing to compare", () => {
  for (
    const data of [
      { time: [1, 2], event: [0, 0], group: [0, 1] },
      { time: [1, 2, 2], event: [0, 1, 1], group: [0, 1, 1] },
      { time: [0, 0, 0], event: [1, 1, 1], group: [0, 1, 1] },
      { time: [1, 2], event: [1, 1], group: [0, 1], stratum: [0, 1] },
    ]
  ) {
    const { statistic, degreesOfFreedom, pValue } = logRank(data);
    assert.deepEqual([statistic, degreesOfFreedom, pValue], [0, 0, 1]);
  }
});

Deno.test("logRank() names what is wrong with its input", () => {
  const data = { time: [1, 2], event: [1, 0], group: ["a", "b"] };
  const cases: [Parameters<typeof logRank>[0], LogRankOptions, string][] = [
    [{ ...data, group: ["a", "a"] }, {}, "group"],
    [{ ...data, group: ["a"] }, {}, "group"],
    [{ ...data, group: [1, NaN] }, {}, "group"],
    [{ ...data, stratum: [1] }, {}, "stratum"],
    [{ ...data, event: [1, 2] }, {}, "event"],
    [data, { rho: -1 }, "rho"],
    [data, { gamma: NaN }, "gamma"],
    [data, { rho: 1, weighting: "at-risk" }, "weighting"],
    [data, { weighting: "n" as "equal" }, "weighting"],
  ];
  for (const [input, options, argument] of cases) {
    assert.throws(
      () => logRank(input, options),
      (error: unknown) => error instanceof DataError && error.argument === argument,
      argument,
    );
  }
});
