// Answers about a run's own analysis, as they are handed from one run to the next.
import assert from "node:assert/strict";
import { serialize } from "node:v8";
import {
  keepAnswers,
  keepAnswersAmong,
  keptAnswer,
  keptResult,
  newAnswers,
} from "../../lib/cohort/kept/mod.ts";
import type { DesignedFollowUp } from "../../lib/balance/samples/mod.ts";
import type { Analysis } from "../../lib/cohort/model/mod.ts";
import { onWarning, quietly, raised } from "../../lib/numerics/mod.ts";

const analysisOf = (n: number) => ({ n }) as Analysis;
const nothing = new Uint8Array();

/** Counts how often an answer is worked out. */
function counted<Answer>(answer: Answer) {
  const make = () => {
    make.times++;
    return answer;
  };
  make.times = 0;
  return make;
}

Deno.test("what no runner asked to keep is worked out each time, and nothing of it is kept", () => {
  const make = counted(1);
  const column = Float64Array.of(1);
  keptAnswer(analysisOf(1), "a", make);
  keptAnswer(analysisOf(1), "a", make);
  keptResult(() => ["a", column], make);
  assert.equal(make.times, 3);
  assert.equal(newAnswers(), undefined);
});

Deno.test("an answer is worked out once, and in the next run not at all; it is the same to the bit", () => {
  const answer = {
    columns: [Float64Array.of(NaN, -0, Infinity, 0.1), Int32Array.of(1)],
    missing: undefined,
    nobody: null,
    text: "ein Ring",
    by: new Map([["a", 1]]),
  };
  const make = counted(answer);
  const first = analysisOf(2);
  keepAnswers(first, nothing);
  assert.equal(keptAnswer(first, "a", make), answer);
  assert.equal(keptAnswer(first, "a", make), answer);
  assert.equal(make.times, 1);
  const bytes = newAnswers();
  assert.ok(bytes);
  const next = analysisOf(2);
  keepAnswers(next, bytes);
  assert.deepEqual(keptAnswer(next, "a", make), answer);
  assert.ok(Object.is((keptAnswer(next, "a", make).columns[0] as Float64Array)[1], -0));
  assert.equal(make.times, 1);
  assert.equal(newAnswers(), undefined, "nothing is new");
});

Deno.test("an answer is of one analysis, one part of it, one name and the columns it follows from", () => {
  const whole = analysisOf(3);
  keepAnswers(whole, nothing);
  const make = counted(1);
  const column = Float64Array.of(1, 2);
  keptAnswer(whole, ["a", [column]], make);
  keptAnswer({ ...whole }, ["a", [column]], make); // a copy may have been changed
  keptAnswer(analysisOf(3), ["a", [column]], make);
  keptAnswer(whole, ["b", [column]], make);
  keptAnswer(whole, ["a", [Float64Array.of(1, 3)]], make);
  keptAnswer(whole, ["a", [Float64Array.of(1), Float64Array.of(2)]], make);
  assert.equal(make.times, 6);
  const [part, other] = [analysisOf(1), analysisOf(1)];
  keepAnswersAmong(part, whole, Int32Array.of(0));
  keepAnswersAmong(other, whole, Int32Array.of(1));
  keptAnswer(part, ["a", [column]], make);
  keptAnswer(other, ["a", [column]], make);
  assert.equal(make.times, 8);
  keptAnswer(part, ["a", [column]], make);
  assert.equal(make.times, 8);
  keepAnswersAmong(whole, whole, Int32Array.of(0, 1, 2));
  keptAnswer(whole, ["a", [column]], make);
  assert.equal(make.times, 8, "of everybody it is what it was");
  const stranger = analysisOf(1);
  keepAnswersAmong(stranger, analysisOf(3), Int32Array.of(0));
  keptAnswer(stranger, ["a", [column]], make);
  assert.equal(make.times, 9, "part of an analysis that is not the run's");
});

Deno.test("a result is of its columns, in their order and kinds, and of its name", () => {
  keepAnswers(analysisOf(4), nothing);
  const make = counted(1);
  const [a, b] = [Float64Array.of(1, 2), Float64Array.of(3)];
  for (const columns of [[a, b], [b, a], [a], [Float64Array.of(1, 2, 3)], [a, b]]) {
    keptResult(() => ["mean", columns], make);
  }
  assert.equal(make.times, 4);
  keptResult(() => ["sum", [a, b]], make);
  assert.equal(make.times, 5);
  keptResult(() => ["sum", [new Uint8Array(a.buffer), b]], make);
  assert.equal(make.times, 6, "the same bytes as numbers of another kind");
  keptResult(() => [make], make);
  keptResult(() => [make], make);
  assert.equal(make.times, 8, "a question that cannot be told");
});

Deno.test("answers that this run did not ask for stay for the next; those that cannot be read are none", () => {
  const first = analysisOf(5);
  keepAnswers(first, serialize(new Map([["old", { result: 7, warnings: [] }]])));
  keptAnswer(first, "new", () => 1);
  const bytes = newAnswers();
  assert.ok(bytes);
  const next = analysisOf(5);
  keepAnswers(next, bytes);
  assert.equal(newAnswers(), undefined);
  for (const damaged of [bytes.subarray(0, 9), serialize([1]), new TextEncoder().encode("none")]) {
    const again = analysisOf(5);
    keepAnswers(again, damaged);
    const make = counted(2);
    assert.equal(keptAnswer(again, "new", make), 2);
    assert.equal(make.times, 1);
    assert.notEqual(newAnswers(), undefined);
  }
});

Deno.test("what an answer warns of is heard whenever it is used, unless the one who asks is quiet", () => {
  const heard: string[] = [];
  onWarning((text) => heard.push(text));
  try {
    const make = () => {
      quietly(() => raised(["within"]));
      return raised(["No convergence."]).length;
    };
    const first = analysisOf(6);
    keepAnswers(first, nothing);
    quietly(() => keptAnswer(first, "a", make));
    assert.deepEqual(heard, []);
    assert.equal(keptAnswer(first, "a", make), 1);
    assert.deepEqual(heard.splice(0), ["No convergence."]);
    const bytes = newAnswers();
    assert.ok(bytes);
    const next = analysisOf(6);
    keepAnswers(next, bytes);
    assert.equal(keptAnswer(next, "a", () => 2), 1);
    assert.deepEqual(heard, ["No convergence."]);
  } finally {
    onWarning(undefined);
  }
});

Deno.test("an estimate is of everything in its data and options, in every completed set", () => {
  keepAnswers(analysisOf(7), nothing);
  const time = Float64Array.of(1, 2);
  const data: DesignedFollowUp = {
    design: "weighted",
    time,
    event: Int32Array.of(1, 0),
    group: Uint8Array.of(0, 1),
  };
  const late = { ...data, entry: Float64Array.of(0, 1) };
  const make = counted(1);
  const asked: [DesignedFollowUp, unknown][] = [
    [data, {}],
    [late, {}],
    [{ ...data, weight: time }, {}],
    [{ ...data, inSets: [data] }, {}],
    [{ ...data, inSets: [late] }, {}],
    [{ ...data, design: "unadjusted" }, {}],
    [data, { times: [1] }],
    [data, { times: [NaN] }],
    [data, { times: [Infinity] }],
    [data, { times: Float64Array.of(1) }],
  ];
  for (const [own, options] of [...asked, ...asked]) keptResult(() => ["a", own, options], make);
  assert.equal(make.times, asked.length, "each once");
  for (const odd of [() => 1, new Map(), new Date(0)]) {
    keptResult(() => ["a", data, { odd }], make);
    keptResult(() => ["a", data, { odd }], make);
  }
  assert.equal(make.times, asked.length + 6, "what cannot be told is not kept");
});
