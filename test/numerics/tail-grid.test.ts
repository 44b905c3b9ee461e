import assert from "node:assert/strict";
import { distributions, fisherTest } from "mitral";

type Row = Record<string, number | string>;

// Values in 400-digit arithmetic, see test/reference/tail-grid.py, which the file names.
const grid: Record<"chiSquare" | "student" | "f" | "beta", Row[]> & { source: string } = JSON.parse(
  Deno.readTextFileSync(new URL("../reference/tail-grid.json", import.meta.url)),
);

/** The largest relative error of a function over the rows that have the tail, and where it is. */
function worst(rows: readonly Row[], tail: string, of: (row: Record<string, number>) => number) {
  const known = rows.filter((row) => tail in row);
  assert.ok(known.length > 20, `${tail}: ${known.length} rows`);
  let largest = { error: 0, at: "" };
  for (const row of known) {
    const real = Number(row[tail]);
    const error = Math.abs(of(row as Record<string, number>) / real - 1);
    if (!(error <= largest.error)) largest = { error, at: JSON.stringify(row) };
  }
  return largest;
}

const promised = 1e-10;
const d = distributions;
const columns = [
  ["chi-square, upper", grid.chiSquare, "upper", ({ x, df }) => d.chiSquareUpper(x!, df!)],
  ["chi-square, lower", grid.chiSquare, "lower", ({ x, df }) => d.chiSquareLower(x!, df!)],
  ["Student", grid.student, "upper", ({ t, df }) => d.studentUpper(t!, df!)],
  ["F", grid.f, "upper", ({ x, d1, d2 }) => d.fUpper(x!, d1!, d2!)],
  ["beta, lower", grid.beta, "lower", ({ x, a, b }) => d.betaLower(x!, a!, b!)],
  ["beta, upper", grid.beta, "upper", ({ x, a, b }) => d.betaUpper(x!, a!, b!)],
] satisfies [string, Row[], string, (row: Record<string, number>) => number][];

for (const [name, rows, tail, of] of columns) {
  Deno.test(`distributions over the grid of 400-digit values: ${name}`, () => {
    const { error, at } = worst(rows, tail, of);
    assert.ok(error <= promised, `relative error ${error.toExponential(1)} at ${at}`);
  });
}

// Values in 35-digit arithmetic, see test/reference/tail-grid-many.py, which the file names.
const many: Record<"chiSquare" | "student" | "fisher", Row[]> & { source: string } = JSON.parse(
  Deno.readTextFileSync(new URL("../reference/tail-grid-many.json", import.meta.url)),
);

Deno.test("distributions with a great many degrees of freedom: chi-square, Student, and back", () => {
  const of = (row: Row, name: string) => Number(row[name]);
  const errors = [
    ...many.chiSquare.map((row) => {
      const tail = "lower" in row ? "lower" : "upper";
      const [x, df] = [of(row, "x"), of(row, "df")];
      const found = tail === "lower" ? d.chiSquareLower(x, df) : d.chiSquareUpper(x, df);
      return Math.abs(found / of(row, tail) - 1);
    }),
    ...many.student.flatMap((row) => {
      const [t, df, upper] = [of(row, "t"), of(row, "df"), of(row, "upper")];
      const back = t < 1 ? [] : [Math.abs(d.studentUpperQuantile(upper, df) / t - 1)];
      return [Math.abs(d.studentUpper(t, df) / upper - 1), ...back];
    }),
  ];
  assert.equal(errors.length, 16 + 30 + 25);
  assert.ok(Math.max(...errors) <= promised, `${errors.map((error) => error.toExponential(1))}`);
  // the degrees of freedom of pooled sets that agree but for rounding
  const normal = d.normalUpperQuantile(0.025);
  assert.ok(Math.abs(d.studentUpperQuantile(0.025, 1e60) / normal - 1) < 1e-14);
});

Deno.test("fisherTest() of totals of 1e5 and 5e5 agrees with sums of exact factorials", () => {
  for (
    const { table, twoSided } of many.fisher as unknown as { table: number[][]; twoSided: string }[]
  ) {
    const { pValue } = fisherTest(table);
    assert.ok(Math.abs(pValue / Number(twoSided) - 1) < 1e-9, `${table}: ${pValue}`);
  }
});
