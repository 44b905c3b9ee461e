import { deepEqual, equal, match, ok } from "node:assert/strict";
import { publishedPer100 } from "../../../lib/disclosure/mod.ts";
import { populationAnswers } from "../../../lib/comparisons/mod.ts";
import {
  curvesOf,
  figuresOf,
  gridOf,
  ledgerOf,
  membershipSentence,
  populationBalanceRows,
  populationBalanceTable,
  populationFindings,
  populationSections,
  populationSizes,
  populationTable,
  shareBetween,
  valvesSentence,
} from "../../../lib/report/mod.ts";
import { findingSentence, headlineFindings } from "../../../lib/report/show/mod.ts";
import { analyse, replaced } from "../../cohort/small-cohort.ts";
import { analysis, asPlanned, labels, study } from "../../demo-analysis.ts";

const answers = populationAnswers(analysis);
const heading = { id: "x", title: "t", caption: "c", labels };

Deno.test("gridOf() has a cell for each population and outcome, by the plan's own rules", () => {
  const curves = curvesOf(answers, "valve-failure", asPlanned);
  const cells = gridOf(analysis, answers, figuresOf(curves));
  equal(cells.length, 3 * study.populations.length);
  for (const cell of cells) {
    const { population, endpoint, first, second, difference, lower, upper, verdict } = cell;
    const { main } = answers.populations.find((one) => one.population.id === population)!
      .endpoints.find((one) => one.endpoint === endpoint)!;
    const of = (code: number) => main!.groups.find(({ group }) => Number(group) === code)!.estimate;
    // identity: patients of 100, to a tenth and whole, from one number
    deepEqual([first, second], [publishedPer100(of(1)), publishedPer100(of(0))]);
    deepEqual(
      [cell.printed!.first, cell.printed!.second],
      [of(1), of(0)].map((share) => String(Math.round(100 * share))),
    );
    ok(lower! <= difference! && difference! <= upper!);
    const better = endpoint === "death" ? "first" : "second";
    if (lower! > 0) equal(verdict, better);
    if (upper! < 0) equal(verdict, better === "first" ? "second" : "first");
    equal(
      cell.figureId,
      population === "everyone" ? "valve-failure" : `valve-failure-${population}`,
    );
  }
});

Deno.test("the demonstration's grid tells in which valves a repair leaks", () => {
  const failure = (id: string) =>
    gridOf(analysis, answers).find((cell) =>
      cell.population === id && cell.endpoint === "valve-failure"
    )!;
  // the cohort is made so: more leaks after repair where leaflets are tethered (truth.json)
  ok(failure("secondary").first! - failure("degenerative").first! > 10);
  const sentence = valvesSentence(analysis, answers);
  match(sentence, /^More valve failure .* after an intended repair .* in/);
  match(sentence, /secondary regurgitation with tethering or a large ventricle/);
  match(valvesSentence(analysis, answers), /size of the difference depends on the population/);
});

Deno.test("populationFindings() carry their population, and only the main one heads the page", () => {
  const found = populationFindings(analysis, answers, { tableId: "populations-table" })
    .flatMap((one) => one.kind === "finding" ? [one] : []);
  const secondary = found.find(({ id }) => id === "valve-failure-secondary-finding")!;
  deepEqual(secondary.population, {
    id: "secondary",
    label: "Secondary regurgitation, ischaemic or not",
    main: false,
  });
  match(findingSentence(secondary), /secondary regurgitation, ischaemic or not/);
  // a count of one group in one population would tell of others
  ok(found.every(({ groups }) => groups.every(({ n }) => n === undefined)));
  deepEqual(headlineFindings(found, "overlap").map(({ id }) => id), ["valve-failure-finding"]);
  const recurrence = { ...found[0]!, id: "recurrence", endpoint: "recurrence" as const };
  equal(headlineFindings([recurrence, ...found], "overlap").length, 1);
});

Deno.test("populationSections() tests populations that share no patient together, others apart", () => {
  const { overall, sections } = populationSections(answers, "valve-failure", analysis);
  equal(overall?.label, "Everyone eligible");
  deepEqual(sections.map(({ rows }) => rows.length), [2, 1, 1]);
  match(sections[0]!.interaction!, /^p < 0.001/);
  match(sections[1]!.interaction!, /^Difference from everybody else: \+/);
  deepEqual(populationSections(answers, "no-such", analysis), { sections: [] });
});

Deno.test("populationBalanceRows() and the tables have every population", () => {
  const rows = populationBalanceRows(answers);
  equal(rows.length, study.populations.length);
  for (const { before, after } of rows) {
    ok(Math.max(...after) < 0.01 && Math.max(...before) > 0.3);
  }
  equal(populationBalanceTable(heading, analysis, answers).rows.length, rows.length);
  const table = populationTable(heading, analysis, answers);
  equal(table.rows.length, rows.length * study.endpoints.length);
});

Deno.test("populationSizes() are rounded where a kind within is small, and would be told", async () => {
  // by hand: 40 degenerative, 30 ischaemic and 5 functional, half of each replaced
  const kinds = [["degenerative", 40], ["ischaemic", 30], ["functional_nonischaemic", 5]] as const;
  const rows = kinds.flatMap(([aetiology, count]) =>
    Array.from({ length: count }, (_, i) => ({ ...(i % 2 ? replaced : {}), aetiology }))
  );
  const of = (...oneOf: string[]) => ({ column: "aetiology", oneOf });
  const small = await analyse(rows, [], {
    populations: [
      { id: "secondary", label: "S", rule: of("ischaemic", "functional_nonischaemic") },
    ],
    adjustment: { covariates: [{ column: "aetiology", form: "category" }] },
  });
  const [population] = populationAnswersOf(small);
  deepEqual(populationSizes(small, [population!]), ["about 44"]);
  match(
    membershipSentence(small, populationAnswers(small)),
    /^Populations: S\. In none of them: 40 /,
  );
  // the demonstration has many of every kind
  deepEqual(
    populationSizes(analysis, answers.populations.map(({ population }) => population)),
    answers.populations.map(({ population }) => population.rows.length),
  );
});

const populationAnswersOf = (of: typeof analysis) =>
  populationAnswers(of).populations.map(({ population }) => population);

Deno.test("shareBetween() of equal weights is the plain difference in shares", () => {
  // by hand: 6 of 20 and 3 of 20; unknown left out
  const first = (count: number) => Array.from({ length: 20 }, (_, i) => i < count ? 1 : 0);
  const holds = [...first(6), ...first(3), NaN];
  const group = [...Array(20).fill(1), ...Array(20).fill(0), 0];
  const weight = Array(41).fill(1);
  const { difference, groups } = shareBetween({
    holds,
    group,
    sample: { weight: Float64Array.from(weight) },
  }, {
    confidence: 0.95,
  })!;
  ok(Math.abs(difference.estimate - 0.15) < 1e-12);
  deepEqual(groups.map(({ events }) => events).sort(), [3, 6]);
  equal(
    shareBetween({ holds: [1, 0], group: [1, 1], sample: { weight: Float64Array.of(1, 1) } }, {
      confidence: 0.95,
    }),
    null,
  );
});

Deno.test("ledgerOf() puts benefit and harm side by side, and says what the file does not hold", () => {
  const lines = ledgerOf(answers.populations.find(({ population }) => population.main)!);
  const of = (id: string) => lines.find((line) => line.id === id)!;
  for (const id of ["alive", "valve-failure", "reoperation", "early-death", "stroke-30"]) {
    ok(of(id).first! >= 0 && of(id).first! <= 100, id);
    ok(of(id).lower! <= of(id).difference! && of(id).difference! <= of(id).upper!, id);
  }
  for (const id of ["late-stroke", "late-bleeding", "quality-of-life"]) {
    deepEqual([of(id).first, of(id).instead], [null, "not in the file"]);
  }
  // identity: months alive without failure are fewer than the horizon, more than none
  ok(of("months-free").first! > 0 && of("months-free").first! <= 60);
});

// By hand: 4 of 80 below 30, 76 not, 6 replaced among the latter of 40: each of them with the other
// and the number of all would tell the small one.
Deno.test("a population and everybody else do not give a small one away", async () => {
  const rows = Array.from({ length: 80 }, (_, i) => ({
    ...(i % 2 ? replaced : {}),
    lvef: i < 4 ? 25 : 60,
  }));
  const low = { column: "lvef", below: 30, source: "invented" };
  const small = await analyse(rows, [], {
    populations: [
      { id: "low", label: "Low", rule: low },
      { id: "rest", label: "The rest", rule: { not: low } },
    ],
  });
  const found = populationAnswers(small);
  const sizes = populationSizes(small, found.populations.map(({ population }) => population));
  equal(sizes.some((size) => size === 4 || size === 76), false);
  const told = [
    JSON.stringify(gridOf(small, found)),
    JSON.stringify(populationTable(heading, small, found).rows),
    JSON.stringify(populationBalanceTable(heading, small, found).rows),
    membershipSentence(small, found),
  ];
  for (const text of told) ok(!/(?<![\d.])(4|76)(?![\d.])/.test(text), text);
});

// By hand: of "weak or dilated" and "weak": 20 are both, 20 dilated only, 39 neither; of one
// without an ejection fraction and a small ventricle neither rule can be told.
Deno.test("membershipSentence() counts who is in several populations, and of whom it is open", async () => {
  const kind = (i: number) =>
    i < 20
      ? { lvef: 30, lvedd: 50 }
      : i < 40
      ? { lvef: 60, lvedd: 70 }
      : i < 79
      ? { lvef: 60, lvedd: 50 }
      : { lvef: "", lvedd: 50 };
  const rows = Array.from({ length: 80 }, (_, i) => ({ ...(i % 2 ? replaced : {}), ...kind(i) }));
  const weak = { column: "lvef", below: 40, source: "invented" };
  const dilated = { column: "lvedd", atLeast: 65, source: "invented" };
  const small = await analyse(rows, [], {
    populations: [
      { id: "either", label: "Weak or dilated", rule: { any: [weak, dilated] } },
      { id: "weak", label: "Weak", rule: weak },
      { id: "both", label: "Weak and dilated", rule: { all: [weak, dilated] } },
    ],
  });
  const { populations } = populationAnswers(small);
  deepEqual(populations.map(({ population: { rows } }) => rows.length), [40, 20, 0]);
  // known not to be dilated: weak and dilated is no, whatever the ejection fraction
  deepEqual(populations.map(({ population: { undecided } }) => undecided), [1, 1, 0]);
  match(
    membershipSentence(small, populationAnswers(small)),
    /In several of these parts: fewer than 22\. In none of them: 40 /,
  );
});

Deno.test("ledgerOf() says what the file does not hold where the population has no number, too", () => {
  const answer = answers.populations.find(({ population }) => population.main)!;
  const shortOf = ["the groups stay unlike"];
  const lines = ledgerOf({ ...answer, design: { ...answer.design, shortOf } });
  equal(lines[0]!.instead, "the groups stay unlike");
  ok(lines.slice(1).some(({ id }) => id === "quality-of-life"));
  ok(lines.slice(1).every(({ instead }) => instead === "not in the file"));
});
