import { DataError } from "../../numerics/mod.ts";
import { countTable } from "./count-table.ts";
import { fisherTwoByTwo } from "./fisher-two-by-two.ts";

// Allocations of a column looked at before giving up: some seconds.
const PATIENCE = 50_000_000;

/**
 * Fisher's exact test of a table of counts of any size, given as rows: the probability, margins
 * fixed, of all tables no more likely than the one seen (two-sided; to 1e-7 relative).
 *
 * Columns are filled one after the other. What can still happen depends only on what is left of the
 * row totals, in whatever order, so tables that agree in that share a node, each keeping the
 * probabilities of the ways to it. A node all or none of whose completions are unlikely enough is
 * done with at once. Two rows and two columns go by ratios of neighbouring tables instead, and keep
 * their digits at totals of 1e5 and more.
 *
 * @throws {DataError} as {@link chiSquareTest}; and where the table is too large to go through.
 * @see Fisher (1935) JRSS 98:39-82; Freeman & Halton (1951) Biometrika 38:141-149; networks: Mehta
 * & Patel (1983) JASA 78:427-434.
 */
export function fisherTest(table: number[][]): { pValue: number } {
  const checked = countTable(table);
  const { total } = checked;
  if (checked.rows === 2 && checked.columns === 2) {
    const [[a, b], [c, d]] = table as [[number, number], [number, number]];
    return { pValue: fisherTwoByTwo(a, b, c, d) };
  }
  // the state is made of the shorter margin
  const [state, steps] = checked.rows <= checked.columns
    ? [checked.rowTotals, checked.columnTotals]
    : [checked.columnTotals, checked.rowTotals];
  // the largest total last: it is forced
  const columns = steps.slice().sort((a, b) => a - b);
  const logFactorial = new Float64Array(total + 1);
  for (let k = 2; k <= total; k++) logFactorial[k] = logFactorial[k - 1]! + Math.log(k);
  const sumOf = (counts: readonly number[]) =>
    counts.reduce((sum, count) => sum + logFactorial[count]!, 0);
  const margins = sumOf(state) + sumOf(columns) - logFactorial[total]!;
  // log of 1 / product of the counts' factorials; tables at or below it are as extreme
  const limit = -table.reduce((sum, row) => sum + sumOf(row), 0) + 1e-7;
  const network = new Network(columns, logFactorial);

  let pValue = 0;
  let nodes = new Map([[keyOf(state), new Map([[0, 1]])]]);
  for (let stage = 0; stage < columns.length - 1 && nodes.size > 0; stage++) {
    const next: typeof nodes = new Map();
    for (const [key, ways] of nodes) {
      const left = key.split(",").map(Number);
      const { largest, smallest } = network.range(key, stage);
      const all = network.logTotal(left, stage);
      const open: [number, number][] = [];
      for (const [past, count] of ways) {
        if (past + largest <= limit) pValue += count * Math.exp(past + all + margins);
        else if (past + smallest <= limit) open.push([past, count]);
      }
      if (open.length === 0) continue;
      if (stage === columns.length - 2) {
        const { logs, upTo } = network.completions(key, stage);
        for (const [past, count] of open) {
          const found = firstAbove(logs, limit - past);
          if (found > 0) {
            pValue += count * Math.exp(past + margins + upTo.scale) * upTo.sums[found]!;
          }
        }
        continue;
      }
      network.allocations(left, stage, (rest, term) => {
        const target = keyOf(rest);
        let reached = next.get(target);
        if (!reached) next.set(target, reached = new Map());
        for (const [past, count] of open) {
          // equal but for rounding is equal
          const sum = Math.round((past + term) * 1e10) / 1e10;
          reached.set(sum, (reached.get(sum) ?? 0) + count);
        }
      });
    }
    nodes = next;
  }
  return { pValue: Math.min(1, pValue) };
}

function keyOf(counts: readonly number[]): string {
  return counts.slice().sort((a, b) => a - b).join(",");
}

interface Completions {
  /** Log of 1 / product of factorials of each way to finish, ascending. */
  logs: Float64Array;
  /** Sums of exp(log - scale) over the first k of them. */
  upTo: { sums: Float64Array; scale: number };
}

class Network {
  readonly #columns: readonly number[];
  readonly #logFactorial: Float64Array;
  readonly #ranges = new Map<string, { largest: number; smallest: number }>();
  readonly #completions = new Map<string, Completions>();
  #work = 0;

  constructor(columns: readonly number[], logFactorial: Float64Array) {
    this.#columns = columns;
    this.#logFactorial = logFactorial;
  }

  /** Every way to fill a column from what is left of the rows; `rest` is reused between calls. */
  allocations(
    left: readonly number[],
    stage: number,
    visit: (rest: readonly number[], term: number) => void,
  ): void {
    const rest = left.slice();
    // what the rows from i on can still take
    const room = left.map((_, i) => left.slice(i).reduce((sum, count) => sum + count, 0));
    const fill = (i: number, need: number, term: number): void => {
      if (i === left.length - 1) {
        if (++this.#work > PATIENCE) {
          throw new DataError(
            "table",
            "small enough for an exact test (see chiSquareTest)",
            "more",
          );
        }
        rest[i] = left[i]! - need;
        visit(rest, term - this.#logFactorial[need]!);
        return;
      }
      const least = Math.max(0, need - room[i + 1]!);
      for (let take = least; take <= Math.min(need, left[i]!); take++) {
        rest[i] = left[i]! - take;
        fill(i + 1, need - take, term - this.#logFactorial[take]!);
      }
    };
    fill(0, this.#columns[stage]!, 0);
  }

  /** Log of the sum over all ways to finish. */
  logTotal(left: readonly number[], stage: number): number {
    const log = this.#logFactorial;
    let sum = log[left.reduce((total, count) => total + count, 0)]!;
    for (const count of left) sum -= log[count]!;
    for (let k = stage; k < this.#columns.length; k++) sum -= log[this.#columns[k]!]!;
    return sum;
  }

  /** Log of the most and the least likely way to finish. */
  range(key: string, stage: number): { largest: number; smallest: number } {
    const known = this.#ranges.get(`${stage}:${key}`);
    if (known) return known;
    let largest = -Infinity;
    let smallest = Infinity;
    if (stage === this.#columns.length - 2) {
      const { logs } = this.completions(key, stage);
      largest = logs.at(-1)!;
      smallest = logs[0]!;
    } else {
      const best = new Map<string, { largest: number; smallest: number }>();
      this.allocations(key.split(",").map(Number), stage, (rest, term) => {
        const target = keyOf(rest);
        const seen = best.get(target);
        if (!seen) best.set(target, { largest: term, smallest: term });
        else {
          seen.largest = Math.max(seen.largest, term);
          seen.smallest = Math.min(seen.smallest, term);
        }
      });
      for (const [target, term] of best) {
        const onward = this.range(target, stage + 1);
        largest = Math.max(largest, term.largest + onward.largest);
        smallest = Math.min(smallest, term.smallest + onward.smallest);
      }
    }
    const range = { largest, smallest };
    this.#ranges.set(`${stage}:${key}`, range);
    return range;
  }

  /** All ways to fill the last two columns. */
  completions(key: string, stage: number): Completions {
    const known = this.#completions.get(key);
    if (known) return known;
    const found: number[] = [];
    this.allocations(key.split(",").map(Number), stage, (rest, term) => {
      let sum = term;
      for (const count of rest) sum -= this.#logFactorial[count]!;
      found.push(sum);
    });
    const logs = Float64Array.from(found).sort();
    const scale = logs.at(-1)!;
    const sums = new Float64Array(logs.length + 1);
    logs.forEach((log, i) => sums[i + 1] = sums[i]! + Math.exp(log - scale));
    const completions = { logs, upTo: { sums, scale } };
    this.#completions.set(key, completions);
    return completions;
  }
}

/** How many of the ascending values are at most the limit. */
function firstAbove(values: Float64Array, limit: number): number {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle]! <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
}
