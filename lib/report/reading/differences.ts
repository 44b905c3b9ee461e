import { differenceOfShares } from "../../balance/alike/mod.ts";
import { printedCount, type Range } from "../../disclosure/solver/mod.ts";
import type { TableItem, TableRow } from "../items/mod.ts";
import { type Block, blocksOf, isCountRow, type Level, sizedColumn } from "./characteristics.ts";
import { countOf, type Notes, type Place } from "./facts.ts";

/**
 * Reads standardised differences of categories: with the sizes of both groups and the counts that
 * are shown, they say which hidden counts are possible.
 *
 * Those of all, and those of the matched where the spread before is known; where too many counts
 * are hidden to try them all they say little.
 */
export function readDifferences(tables: readonly TableItem[], notes: Notes): void {
  const beside = tables.find(({ id }) => id === "balance-table");
  for (const table of tables) {
    for (const block of blocksOf(table)) {
      if (block.ofSome !== undefined) continue;
      const before = countsOf(block, { table, sample: "before" });
      for (const sample of ["before", "afterMatching"]) {
        const counts = countsOf(block, { table, sample });
        if (!counts) continue;
        const spread = sample === "before" ? undefined : before && soleFilling(before);
        if (sample !== "before" && !spread) continue;
        const key = `${sample}.difference`;
        const texts: [unknown, Place][] = [
          [block.head.row[key], { table: table.id, row: block.head.at, key }],
        ];
        const at = beside?.rows.findIndex(({ label }) => label === block.name) ?? -1;
        if (beside && at >= 0) {
          texts.push([beside.rows[at]![sample], { table: beside.id, row: at, key: sample }]);
        }
        for (const [text, place] of texts) {
          const printed = printedDifference(text);
          if (printed) narrow({ counts, printed, spread, place }, notes);
        }
      }
    }
  }
}

/** The counts of one characteristic in one sample: of each group its size and its levels. */
type Counts = [GroupCounts, GroupCounts];
interface GroupCounts {
  total: number;
  levels: { name: string; value: number | undefined }[];
}
type Filling = [Float64Array, Float64Array];

/** Too many to be tried: as good as open. */
const mostFillings = 20_000;

function countsOf(
  { name, head, levels }: Block,
  { table, sample }: { table: TableItem; sample: string },
): Counts | undefined {
  const columns = ["replacement", "repair"].map((key) => {
    const column = table.columns.find((one) => one.key === `${sample}.${key}`);
    return column && sizedColumn(column);
  });
  const counted = levels.filter((level) => level.name !== "missing");
  const missing = levels.find((level) => level.name === "missing");
  if (counted.length === 0 && !isCountRow(head.row, table)) return undefined;
  const groups = columns.map((column) => {
    if (!column) return undefined;
    const without = missing ? exact(missing.row, column.key) : 0;
    if (without === undefined) return undefined;
    const total = column.size - without;
    const of = (level: Level, named: string) => ({
      name: countOf(column.group, named),
      value: exact(level.row, column.key),
    });
    if (counted.length > 0) {
      return { total, levels: counted.map((level) => of(level, `${name}, ${level.name}`)) };
    }
    const own = of(head, name);
    const other = own.value === undefined ? undefined : total - own.value;
    return { total, levels: [{ name: "", value: other }, own] };
  });
  const [controls, treated] = groups;
  return controls && treated ? [controls, treated] : undefined;
}

function exact(row: TableRow, key: string): number | undefined {
  const count = printedCount(row[key])?.count;
  return count && count.low === count.high ? count.low : undefined;
}

/** A difference with its rounding: "−0.44", 0.4. */
function printedDifference(value: unknown): (Range & { signed: boolean }) | undefined {
  const text = String(value ?? "").replace("\u2212", "-");
  if (!/^-?\d+(\.\d+)?$/.test(text)) return undefined;
  const half = 0.5 * 10 ** -Math.max(1, text.split(".")[1]?.length ?? 0);
  return { low: Number(text) - half, high: Number(text) + half, signed: text.startsWith("-") };
}

/** Every hidden count is one of those with which the difference comes out as printed. */
function narrow(
  { counts, printed, spread, place }: {
    counts: Counts;
    printed: Range & { signed: boolean };
    spread: Filling | undefined;
    place: Place;
  },
  notes: Notes,
): void {
  if (counts.every(({ levels }) => levels.every(({ value }) => value !== undefined))) return;
  const [controls, treated] = counts.map(fillings);
  if (!controls || !treated || controls.length * treated.length > mostFillings) return;
  const possible = new Map<string, Range>();
  for (const first of controls) {
    for (const second of treated) {
      const shares: Filling = [
        first.map((count) => count / counts[0].total),
        second.map((count) => count / counts[1].total),
      ];
      if (!comesOut(shares, spread, printed)) continue;
      counts.forEach(({ levels }, group) =>
        levels.forEach(({ name, value }, level) => {
          if (value !== undefined || name === "") return;
          const count = (group === 0 ? first : second)[level]!;
          const { low, high } = possible.get(name) ?? { low: count, high: count };
          possible.set(name, { low: Math.min(low, count), high: Math.max(high, count) });
        })
      );
    }
  }
  for (const [name, range] of possible) notes.found(name, range, place);
}

function comesOut(
  shares: Filling,
  spread: Filling | undefined,
  { low, high, signed }: Range & { signed: boolean },
): boolean {
  const size = differenceOfShares(shares, spread ?? shares);
  const more = shares[1][1]! > shares[0][1]!;
  // of two levels the number may have a sign: that of the second
  const value = signed || (shares[0].length === 2 && low < 0) ? (more ? size : -size) : size;
  return value >= low - 1e-9 && value <= high + 1e-9;
}

function soleFilling([controls, treated]: Counts): Filling | undefined {
  const only = ({ total, levels }: GroupCounts) =>
    levels.every(({ value }) => value !== undefined)
      ? Float64Array.from(levels, ({ value }) => value! / total)
      : undefined;
  const [first, second] = [only(controls), only(treated)];
  return first && second && [first, second];
}

/** All whole numbers that the hidden counts of a group may be, as they add up to what is left. */
function fillings({ total, levels }: GroupCounts): Float64Array[] | undefined {
  const shown = levels.reduce((sum, { value }) => sum + (value ?? 0), 0);
  const hidden = levels.flatMap(({ value }, place) => value === undefined ? [place] : []);
  const start = Float64Array.from(levels, ({ value }) => value ?? 0);
  if (hidden.length === 0) return [start];
  const found: Float64Array[] = [];
  const fill = (counts: Float64Array, k: number, left: number): void => {
    if (found.length > mostFillings) return;
    if (k === hidden.length - 1) {
      found.push(counts.with(hidden[k]!, left));
      return;
    }
    for (let count = 0; count <= left; count++) {
      fill(counts.with(hidden[k]!, count), k + 1, left - count);
    }
  };
  if (total - shown < 0) return undefined;
  fill(start, 0, total - shown);
  return found.length > mostFillings ? undefined : found;
}
