import { deepEqual, equal, ok } from "node:assert/strict";
import fc from "fast-check";
import * as mitral from "../../lib/mod.ts";
import { disjointPopulations, membership } from "../../lib/comparisons/populations/mod.ts";
import { analyse, replaced, type Row } from "../cohort/small-cohort.ts";

Deno.test("populationsOf() counts who is in it, and of whom a missing value leaves it open", async () => {
  const rows: Row[] = [{ lvef: 30 }, { lvef: 60 }, { lvef: "" }, { ...replaced, lvef: 39 }];
  const low = { column: "lvef", below: 40, source: "invented" };
  const populations = [{ id: "low", label: "Low", rule: low, planned: false }];
  const analysis = await analyse(rows, [], { populations });
  const [population] = mitral.populationsOf(analysis);
  deepEqual([...population!.rows], [0, 3]);
  deepEqual([population!.undecided, population!.planned, population!.main], [1, false, true]);
  deepEqual(membership([population!], analysis.n), { none: 2, one: 2, several: 0 });
});

Deno.test("populationsOf() is everybody eligible where the plan names no population", async () => {
  const [everyone, ...others] = mitral.populationsOf(await analyse([{}, replaced]));
  equal(others.length, 0);
  deepEqual([...everyone!.rows], [0, 1]);
  equal(everyone!.main, true);
});

Deno.test("disjointPopulations() takes none that shares a patient with one before it", () => {
  const some = fc.uniqueArray(fc.nat(11), { maxLength: 11 })
    .map((rows) => ({ rows: Int32Array.from(rows) }));
  fc.assert(fc.property(fc.array(some), (populations) => {
    const taken = disjointPopulations(populations, 12);
    const all = taken.flatMap(({ rows }) => [...rows]);
    equal(new Set(all).size, all.length);
    // whatever was left out shares a patient with one taken, or is nobody
    for (const one of populations.filter((other) => !taken.includes(other))) {
      ok(one.rows.length === 0 || one.rows.some((row) => all.includes(row)));
    }
  }));
});
