import assert from "node:assert/strict";
import { foretell } from "../../../lib/report/validate/foretell.ts";
import type { Foretold } from "../../../lib/report/validate/foretold.ts";
import { matchedSample } from "../../../lib/balance/samples/mod.ts";
import { selectEligible } from "../../../lib/cohort/mod.ts";
import { writeInstead } from "../../../lib/report/validate/what-to-write.ts";
import { repeatedCohort } from "../../cohort/repeated-cohort.ts";
import { analyse, readRows, replaced, type Row } from "../../cohort/small-cohort.ts";

/** Forty invented patients, every other one replaced, of ages that tell the groups little. */
const rows = (change: (i: number) => Row = () => ({})): Row[] =>
  Array.from({ length: 40 }, (_, i) => ({
    id: `P${100 + i}`,
    case_seq: i + 1,
    age: 50 + (7 * i) % 30,
    dead: i % 5 === 0 ? 1 : 0,
    death_cause: i % 5 === 0 ? "cardiac" : "",
    fu_days: 1900 + i,
    ...(i % 2 ? replaced : {}),
    ...change(i),
  }));

async function told(list: Row[], plan: Record<string, unknown> = {}) {
  const lines = foretell(await analyse(list, [], plan));
  return (where: string, what?: RegExp): Foretold[] =>
    lines.filter((line) => line.where === where && (what?.test(line.what) ?? true));
}

const adjusted = (...covariates: Record<string, unknown>[]) => ({ adjustment: { covariates } });

Deno.test("foretell() counts both groups and says what is as planned", async () => {
  const at = await told(rows());
  assert.deepEqual(at("groups").map(({ verdict, found }) => [verdict, found]), [
    ["shown", "Repair 20, Replacement 20"],
  ]);
  assert.equal(at("adjustment.covariates[0]")[0]!.verdict, "shown");
  assert.equal(at("restrictedMeanHorizon")[0]!.verdict, "shown");
});

Deno.test("foretell() says that there are too many for the planned search of the whole, and what to write", async () => {
  const plan = { matching: { search: "whole", caliper: 50 } };
  const { cohort, study } = await readRows(rows(), [], plan);
  const many = repeatedCohort(cohort, Array.from({ length: 64_000 }, (_, k) => k % cohort.n));
  const eligible = selectEligible(many, study);
  const [line] = foretell(eligible).filter(({ where }) => where.startsWith("matching"));
  assert.equal(line!.verdict, "absent");
  assert.equal(line!.where, "matching.search");
  assert.match(line!.found, /^1,024,000,000 pairs .* takes at most 1,000,000,000: every notebook/);
  // and it is so
  assert.throws(() => matchedSample(eligible, study), /at most 1000000000 pairs of rows/);
  const text = '{\n  "matching": {\n    "caliper": 50,\n    "search": "whole"\n  }\n}';
  const { part, line: at, json } = writeInstead(text, line!.instead!);
  assert.deepEqual([part, at, json], ["matching", 4, '"search": "one-by-one"']);
  // few are searched as planned
  const few = foretell(selectEligible(cohort, study)).filter(({ where }) => where === "matching");
  assert.equal(few[0]!.verdict, "limited");
});

Deno.test("foretell() says what one group alone leaves to compare: nothing, and no further line", async () => {
  const at = await told(rows(() => ({ ...replaced })));
  assert.equal(at("groups")[0]!.verdict, "absent");
  assert.deepEqual(at("endpoints[0]"), []);
});

Deno.test("foretell() names a covariate that eligibility made constant, or took the reference of", async () => {
  const at = await told(
    rows((i) => ({ urgency: i % 4 < 2 ? "urgent" : "emergency", egfr: "", nyha: 3 })),
    adjusted(
      { column: "urgency", form: "category", reference: "elective" },
      { column: "egfr", form: "linear" },
      { column: "nyha", form: "linear" },
      { column: "age", form: "linear" },
    ),
  );
  assert.match(at("adjustment.covariates[0].reference")[0]!.found, /no eligible.*“elective”/);
  assert.deepEqual(at("adjustment.covariates[1]").map(({ verdict }) => verdict), ["absent"]);
  assert.match(at("adjustment.covariates[2]")[0]!.found, /the same for every/);
  assert.equal(at("adjustment.covariates[3]")[0]!.verdict, "shown");
  // and the score says so too
  assert.match(at("adjustment")[0]!.found, /known for no eligible patient/);
});

Deno.test("foretell() says at which horizons nobody is followed any longer", async () => {
  const at = await told(rows(), { horizons: [1, 5, 12], restrictedMeanHorizon: 12 });
  assert.deepEqual(
    at("endpoints[0]").map(({ what, verdict }) => [/at (\d+)/.exec(what)![1], verdict]),
    [["1", "limited"], ["5", "limited"], ["12", "absent"]],
  );
  assert.equal(at("restrictedMeanHorizon")[0]!.verdict, "absent");
});

Deno.test("foretell() says of a subgroup which side is empty", async () => {
  const threshold = {
    id: "lvef-low",
    column: "lvef",
    side: "below",
    value: 30,
    label: "Ejection fraction below 30%",
    purpose: "subgroup",
    source: "invented",
  };
  const at = await told(rows(), { thresholds: [threshold] });
  assert.equal(at("thresholds[0]")[0]!.verdict, "absent");
});

Deno.test("foretell() says which time takes the place of a main answer past follow-up", async () => {
  const plan = { horizons: [1, 5, 30], mainHorizon: 30, restrictedMeanHorizon: 30 };
  const lines = (await told(rows(), plan))("horizons");
  assert.deepEqual(lines.map(({ verdict }) => verdict), ["limited", "limited", "limited"]);
  assert.match(lines[1]!.found, /main answer is stated at 5 years/);
  assert.deepEqual(
    (await told(rows(), { ...plan, horizons: [1], mainHorizon: 1, restrictedMeanHorizon: 5 }))(
      "horizons",
    ),
    [],
  );
});

Deno.test("foretell() says of a population and of a comparison of arms why there will be no number", async () => {
  const repaired = { column: "final", oneOf: ["repair"] };
  const at = await told(rows(), {
    populations: [
      { id: "everyone", label: "Everyone" },
      {
        id: "old",
        label: "Aged 79 or more",
        rule: { column: "age", atLeast: 79, source: "invented" },
      },
    ],
    comparisons: [{
      id: "way",
      label: "Way in",
      question: "Which way in?",
      arms: [
        { id: "repair", label: "Repaired", rule: repaired },
        { id: "nobody", label: "Nobody", rule: { all: [repaired, { not: repaired }] } },
      ],
    }],
  });
  const [everyone] = at("populations[0]");
  assert.match(everyone!.found, /^Repair 20, Replacement 20/);
  assert.equal(at("populations[1]")[0]!.verdict, "absent");
  assert.match(
    at("comparisons[0]")[0]!.found,
    /Repaired 20, Nobody 0: hardly anybody in the arm "Nobody"/,
  );
});
