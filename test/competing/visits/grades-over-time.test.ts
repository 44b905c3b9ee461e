import assert from "node:assert/strict";
import fc from "fast-check";
import { gradesOverTime } from "../../../lib/competing/visits/grades-over-time.ts";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { assertClose } from "../../close.ts";

// Five patients of one group, window 1 year. By hand, at 2 years:
//   1 seen at 1.9 (grade 1) and 2.6 (out of the window);  2 seen at 1.6 and 2.2: 2.2 is nearer (3);
//   3 died at 1;  4 operated again at 1.5;  5 followed to 5, never seen.
const data = {
  time: [4, 4, 1, 1.5, 5],
  event: [0, 1, 1, 2, 0],
  group: ["a", "a", "a", "a", "a"],
  visits: {
    subject: [0, 0, 1, 1, 2, 3],
    time: [1.9, 2.6, 1.6, 2.2, 0.9, 1.5],
    grade: [1, 2, 0, 3, 4, 4],
  },
};

Deno.test("gradesOverTime() counts the looked at, the living and all (by hand)", () => {
  const [group] = gradesOverTime(data, { times: [2], window: 1 });
  const at = group!.at[0]!;
  assert.equal(group!.patients, 5);
  assert.equal(at.followed, 3);
  assert.equal(at.graded, 2);
  assert.deepEqual(at.counts, [0, 1, 0, 1, 0]);
  assert.deepEqual(at.amongGraded, [0, 0.5, 0, 0.5, 0]);
  assertClose(at.amongLiving[1]!, 1 / 3);
  assertClose(at.notLookedAt, 1 / 3);
  assertClose(at.countingDead.died, 1 / 5); // Aalen-Johansen: nobody is lost before
  assertClose(at.countingDead.operatedAgain, 1 / 5);
  assertClose(at.countingDead.grades[3]!, 0.5 * 3 / 5);
});

Deno.test("gradesOverTime() shares add up to 1 (property)", () => {
  const patient = fc.record({
    time: fc.integer({ min: 1, max: 40 }).map((t) => t / 4),
    event: fc.constantFrom(0, 1, 2),
    group: fc.constantFrom(0, 1),
    looks: fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.nat(4)), {
      maxLength: 4,
    }),
  });
  fc.assert(fc.property(fc.array(patient, { minLength: 1, maxLength: 25 }), (patients) => {
    const looks = patients.flatMap(({ time, looks }, i) =>
      looks.map(([share, grade]) => [i, share * time, grade] as const)
    );
    const found = gradesOverTime({
      time: patients.map(({ time }) => time),
      event: patients.map(({ event }) => event),
      group: patients.map(({ group }) => group),
      visits: {
        subject: looks.map(([i]) => i),
        time: looks.map(([, t]) => t),
        grade: looks.map(([, , grade]) => grade),
      },
    }, { times: [0, 0.5, 1, 3] });
    const sum = (values: number[]) => values.reduce((all, one) => all + one, 0);
    for (const { at } of found) {
      for (const one of at) {
        assert.equal(sum(one.counts), one.graded);
        assert.ok(one.graded <= one.followed);
        if (one.followed > 0) assertClose(sum(one.amongLiving) + one.notLookedAt, 1);
        if (one.graded === 0 || Number.isNaN(one.countingDead.died)) continue;
        assertClose(sum(one.amongGraded), 1);
        const { grades, died, operatedAgain } = one.countingDead;
        assertClose(sum(grades) + died + operatedAgain, 1);
      }
    }
  }));
});

Deno.test("gradesOverTime() refuses unknown grades and visits after the end by name", () => {
  const visits = (time: number, grade: number) => ({ subject: [0], time: [time], grade: [grade] });
  const given = (v: ReturnType<typeof visits>) =>
    gradesOverTime({ time: [2], event: [0], group: ["a"], visits: v }, { times: [1] });
  assert.throws(
    () => given(visits(1, 5)),
    (e) => e instanceof DataError && e.argument === "visits.grade",
  );
  assert.throws(
    () => given(visits(3, 1)),
    (e) => e instanceof DataError && e.argument === "visits.time",
  );
});
