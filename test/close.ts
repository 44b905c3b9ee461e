import { AssertionError } from "node:assert";

/** What a reference case says of its own precision. */
export interface Tolerance {
  relative: number;
  absolute: number;
}

/**
 * Asserts |actual - expected| <= absolute + relative * |expected|. NaN equals null (a case writes
 * "not defined" as null) and NaN only; infinities must match.
 */
export function assertClose(
  actual: number,
  expected: number | null,
  tolerance: Tolerance = { relative: 1e-8, absolute: 1e-10 },
  what = "value",
): void {
  if (expected === null || Number.isNaN(expected)) {
    if (!Number.isNaN(actual)) fail(`${what}: got ${actual}, expected no value`);
    return;
  }
  if (actual === expected) return;
  const allowed = tolerance.absolute + tolerance.relative * Math.abs(expected);
  if (!(Math.abs(actual - expected) <= allowed)) {
    fail(`${what}: got ${actual}, expected ${expected} within ${allowed.toPrecision(2)}`);
  }
}

/** assertClose over two columns of one length. */
export function assertAllClose(
  actual: ArrayLike<number>,
  expected: ArrayLike<number | null>,
  tolerance?: Tolerance,
  what = "column",
): void {
  if (actual.length !== expected.length) {
    fail(`${what}: length ${actual.length}, expected ${expected.length}`);
  }
  for (let i = 0; i < actual.length; i++) {
    assertClose(actual[i]!, expected[i]!, tolerance, `${what}[${i}]`);
  }
}

function fail(message: string): never {
  throw new AssertionError({ message });
}
