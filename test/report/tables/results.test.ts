import assert from "node:assert/strict";
import {
  contrastAt,
  contrastRow,
  cumulativeIncidence,
  DataError,
  diameterSentence,
  eventRisks,
  followUpOf,
  leakAtVisits,
  leakCurves,
  leakTable,
  measuredVentricles,
  measurementTable,
  methodRows,
  methodSections,
  methodsSentence,
  monthsFreeSentence,
  neededConfounding,
  neededTable,
  overMeasurements,
  soundTo,
  subgroupSections,
  thresholdSource,
  thresholdSubgroups,
  twoQuantities,
  underWeights,
  valveCourse,
  valveEvents,
  valveStates,
  ventricleAfter,
  ventricleRisk,
  visitHistory,
  weightedSample,
} from "mitral";
import { analysis, horizons, labels, mainHorizon, phrases, study } from "../../demo-analysis.ts";

// The demonstration's cohort; what is checked is what must hold in any.
const { weight } = weightedSample(analysis, study);
const recurrence = followUpOf(analysis, "recurrence");
const data = underWeights(recurrence, weight);
const heading = { id: "t", title: "T", caption: "C", labels };

Deno.test("twoQuantities() are the two curves, and the naive one is never the smaller", () => {
  const lines = twoQuantities(data, { causes: [1, 2, 3], horizons });
  assert.deepEqual(lines.map(({ group }) => group), [1, 1, 1, 0, 0, 0]);
  for (const { incidence, naive } of lines) assert.ok(naive >= incidence - 1e-12);
  const rows = Array.from(data.group.keys()).filter((i) => data.group[i] === 1);
  const pick = (column: ArrayLike<number>) => Float64Array.from(rows, (i) => column[i]!);
  const alone = cumulativeIncidence({
    time: pick(data.time),
    event: pick(data.event),
    weight: pick(data.weight!),
  }, { causes: [1, 2, 3] });
  assert.equal(lines[1]!.incidence, alone.causes[0]!.at([5]).incidence[0]);
});

Deno.test("thresholdSubgroups() keep the plan's order, say whom they were found in, and add up", () => {
  const thresholds = study.thresholds.filter(({ purpose }) => purpose === "subgroup");
  const { lines, undivided } = thresholdSubgroups(analysis, {
    followUp: recurrence,
    data,
    thresholds,
    time: mainHorizon,
  });
  assert.deepEqual(lines.map(({ label }) => label), thresholds.map(({ label }) => label));
  assert.deepEqual(undivided, []);
  assert.match(lines[1]!.source, /in 87 patients with ischaemic.*applied here to everybody/);
  for (const { found: { inside, outside, interaction } } of lines) {
    const difference = inside.difference.estimate - outside.difference.estimate;
    assert.ok(Math.abs(difference - interaction.estimate) < 1e-12);
  }
  const sections = subgroupSections(lines);
  assert.deepEqual(sections[0]!.rows.map(({ label }) => label), ["Yes", "No"]);
  // nobody old enough on one side: told, not drawn
  const nobody = { ...thresholds[1]!, value: 500, label: "Nobody" };
  const empty = thresholdSubgroups(analysis, {
    followUp: recurrence,
    data,
    thresholds: [nobody],
    time: mainHorizon,
  });
  assert.deepEqual(empty, { lines: [], undivided: ["Nobody"] });
});

Deno.test("thresholdSource() names the patients only where the source's were others", () => {
  assert.equal(thresholdSource({ source: "A book" }), "A book");
  assert.equal(
    thresholdSource({ source: "A book", foundIn: "rabbits" }),
    "A book, in rabbits; applied here to everybody with the measurement",
  );
});

Deno.test("contrastRow() gives no event the end of its range, and counts patients where it may", () => {
  const limits = { lower: 0, upper: 0.03, atRisk: 40 };
  const difference = { estimate: 0.1, lower: 0.05, upper: 0.15, pValue: 0.01 };
  const row = contrastRow(
    "Yes",
    {
      time: 5,
      groups: [
        { group: 0, estimate: 0, ...limits },
        { group: 1, ...limits, estimate: 0.1, upper: 0.2 },
      ],
      difference,
    } as unknown as Parameters<typeof contrastRow>[1],
    1195,
  );
  assert.deepEqual(row.risks, ["10.0%", "< 3.0%"]);
  assert.deepEqual(row.counts, ["1,195 patients"]);
});

Deno.test("overMeasurements() bound few events and mark the plan's cut-offs", () => {
  const thresholds = study.thresholds.filter(({ purpose }) => purpose === "subgroup");
  const measured = overMeasurements(analysis, {
    followUp: recurrence,
    data,
    thresholds: thresholds.slice(1, 2),
    time: mainHorizon,
    smallestCell: study.smallestCell,
  });
  assert.equal(measured.length, 1);
  const [one] = measured;
  assert.equal(one!.column, "lvedd");
  assert.match(one!.axis, /, mm$/);
  for (const events of Object.values(one!.events)) {
    assert.ok(typeof events === "string" || events >= study.smallestCell);
  }
  const { rows } = measurementTable(heading, measured);
  assert.deepEqual(rows.map(({ group }) => group), [labels.repair, labels.replacement]);
  assert.match(String(rows[0]!.low), /^\d+\.\d at \d+$/);
});

Deno.test("valveStates() fill each group, and time gained in one state is lost in others", () => {
  const states = valveStates(valveCourse(analysis), { weight, labels, horizon: mainHorizon });
  assert.deepEqual(states.groups.map(({ label }) => label), [labels.repair, labels.replacement]);
  for (const { time, occupancy } of states.groups) {
    for (let i = 0; i < time.length; i += 50) {
      assert.ok(Math.abs(occupancy.reduce((sum, column) => sum + column[i]!, 0) - 1) < 1e-9);
    }
  }
  const gained = states.time.reduce((sum, { difference }) => sum + difference.estimate, 0);
  assert.ok(Math.abs(gained) < 1e-9);
  const text = monthsFreeSentence(states, { horizon: mainHorizon, phrases });
  assert.ok(text.startsWith("Of the first 60 months, ") && text.includes(phrases.replacement));
});

Deno.test("eventRisks() leave out what few had and what nothing competes with", () => {
  const events = valveEvents(analysis);
  const risks = eventRisks(events, { weighting: weight, time: 5, smallestCell: 11 });
  assert.ok(risks.length > 2);
  assert.ok(!risks.some(({ label }) => label === "Death of any cause"));
  assert.equal(eventRisks(events, { weighting: weight, time: 5, smallestCell: 1e6 }).length, 0);
});

Deno.test("leaks at visits are shown no further than simulations show them to hold", () => {
  const times = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
  const leaks = leakAtVisits(visitHistory(analysis), { weight, times });
  const curves = leakCurves(leaks, { labels });
  assert.equal(curves.length, 4);
  for (const { x } of curves) {
    assert.equal(Math.max(...Array.from(x)), soundTo("on-schedule").years);
  }
  assert.deepEqual(curves.map(({ beside = false }) => beside), [false, false, true, true]);
  const { rows } = leakTable({ ...heading, horizons: times }, leaks);
  const last = (way: string) =>
    Math.max(...rows.filter((row) => row.way === way).map(({ years }) => Number(years)));
  assert.equal(last("On schedule"), soundTo("on-schedule").years);
  assert.equal(last("Weighted by visit rate"), soundTo("by-visit-rate").years);
  assert.ok(rows.filter(({ way }) => way === "As seen").every(({ lower }) => lower === null));
});

Deno.test("ventricleRisk() has limits around every curve, and says what the diameter adds", () => {
  const ventricles = measuredVentricles(analysis, study, ventricleAfter(analysis));
  const risk = ventricleRisk(ventricles)!;
  assert.equal(risk.curves.length, 2);
  for (const { estimate, lower, upper } of risk.curves) {
    Array.from(estimate).forEach((share, k) =>
      assert.ok(0 <= lower![k]! && lower![k]! < share && share < upper![k]! && upper![k]! <= 1)
    );
  }
  const said = (pValue: number) => diameterSentence({ ...risk, diameterAdds: { pValue } });
  assert.match(said(0.4), /within chance/);
  assert.match(said(0.001), /does not say that a larger ventricle is safer/);
  assert.equal(ventricleRisk({ ...ventricles, enough: false }), undefined);
});

Deno.test("methodRows() take one time; what is said of them counts only the adjusted", () => {
  const of = (estimate: number, lower: number, upper: number) => [{
    time: 5,
    groups: [],
    difference: { estimate, lower, upper, standardError: 0.01, pValue: 0.5 },
  }];
  const rows = methodRows([
    { method: "Unadjusted", whom: "", contrasts: of(0.3, 0.2, 0.4) },
    { method: "Weighted", whom: "", contrasts: of(0.01, -0.04, 0.06) },
    { method: "Doubly robust", whom: "", contrasts: of(0.05, 0.01, 0.09) },
    { method: "Other", whom: "", contrasts: of(NaN, NaN, NaN) },
  ], 5);
  assert.deepEqual(methodSections(rows).map(({ rows }) => rows.length), [1, 3]);
  assert.equal(
    methodsSentence(rows, 5),
    "By 2 adjusted methods the difference in survival at 5 years is from 1.0 to 5.0 per 100 " +
      "(repair minus replacement); zero lies within 1 of their ranges.",
  );
  assert.equal(methodsSentence([], 5), "No method could make the comparison.");
  assert.deepEqual(methodRows([{ method: "A", whom: "", contrasts: of(0, 0, 0) }], 1), []);
});

Deno.test("neededConfounding() turns a protective ratio round", () => {
  // E-value of 0.5 is that of 2: 2 + sqrt(2) = 3.41; the nearer limit 0.8: 1.25 +
  // sqrt(0.3125) = 1.81
  const text = neededConfounding("Death", { estimate: 0.5, lower: 0.3, upper: 0.8 });
  assert.match(text, /risk ratio of 3\.41 each \(E-value\); 1\.81 would do for the limit nearer 1/);
  assert.match(neededConfounding("Leak", { estimate: 2, lower: 0, upper: 9 }), /no ratio/);
});

Deno.test("contrastAt() takes the first where the time is not among them", () => {
  const contrasts = [{ time: 1 }, { time: 5 }];
  assert.equal(contrastAt(contrasts, 5).time, 5);
  assert.equal(contrastAt(contrasts, 7).time, 1);
  assert.throws(() => contrastAt([], 1), DataError);
});

Deno.test("neededTable() has the E-values that the sentence tells, and nothing where no ratio can be formed", () => {
  const whole = (estimate: number, lower: number, upper: number) => ({
    ...{ estimate, lower, upper },
    standardError: 0.1,
  });
  const { rows } = neededTable({
    id: "needed",
    title: "Needed",
    caption: "Of all.",
    confidence: 0.95,
  }, [
    { what: "Death", ratio: whole(0.5, 0.3, 0.8) },
    { what: "Stroke", ratio: whole(1.2, 0.8, 1.7) },
    { what: "Leak", ratio: whole(2, 0, 9) },
  ]);
  // by hand, as above; a range that includes 1 needs nothing
  assert.deepEqual(
    rows.map(({ needed, limit }) =>
      [needed, limit].map((x) => x === null ? x : Number(x).toFixed(2))
    ),
    [["3.41", "1.81"], ["1.69", "1.00"], [null, null]],
  );
});
