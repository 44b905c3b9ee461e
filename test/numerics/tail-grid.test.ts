import assert from "node:assert/strict";
import { distributions } from "mitral";

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
