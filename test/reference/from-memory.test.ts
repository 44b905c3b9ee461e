import assert from "node:assert/strict";
import { allCases } from "./load.ts";

interface Printed {
  printed: string;
  decimals: number;
  computed: number;
  agrees: boolean;
  how: string;
}

const printedIn = (source: object): Printed[] =>
  "publishedValues" in source ? source.publishedValues as Printed[] : [];

Deno.test("README says how many printed values are cited from memory, and how many agree", () => {
  const readme = Deno.readTextFileSync(new URL("../../README.md", import.meta.url));
  const cases = allCases();
  const fromMemory = cases.map(({ source }) =>
    printedIn(source).filter(({ how }) => how === "from memory")
  ).filter((values) => values.length > 0);
  const values = fromMemory.flat();
  const agreeing = values.filter(({ agrees }) => agrees).length;
  const said = readme.replace(/\s+/g, " ").match(
    /(\d+) values of (\d+) of the (\d+) check cases, cited from memory; (\d+) agree/,
  );
  assert.deepEqual(
    said?.slice(1).map(Number),
    [values.length, fromMemory.length, cases.length, agreeing],
  );
});

Deno.test("a printed value is marked as agreeing where the computed one rounds to it, and only there", () => {
  for (const { id, source } of allCases()) {
    for (const { printed, decimals, computed, agrees } of printedIn(source)) {
      if (!Number.isFinite(Number(printed))) continue;
      // half a unit of the last digit printed, and what binary makes of a tie
      const near = Math.abs(Number(printed) - computed) <= 0.5 * 10 ** -decimals * (1 + 1e-9);
      assert.equal(near, agrees, `${id}: ${printed} and ${computed}`);
    }
  }
});
