import {
  checkWhole,
  DataError,
  groupColumn,
  type Labels,
  MANY,
  SeededRandom,
} from "../../numerics/mod.ts";

/** What to resample: so many rows, or whole clusters of rows (matched sets, surgeons). */
export type ResamplingUnits = number | { clusters: Labels };

/**
 * A function that draws the rows of any one replicate. Replicate r depends on the seed and r alone:
 * replicates may be made anywhere, in any order, by any number of workers.
 *
 * Rows come with repetition; `unit` numbers the drawn units 0, 1, ... so that a cluster drawn twice
 * counts as two.
 *
 * @param drawn Units in a draw; default as many as there are.
 * @throws {DataError}
 */
export function resampler(
  units: ResamplingUnits,
  seed: number,
  drawn?: number,
): (replicate: number) => { rows: Int32Array; unit: Int32Array } {
  const random = new SeededRandom(seed);
  if (typeof units === "number") {
    const n = checkWhole("units", units, 1);
    const size = drawn ?? n;
    const unit = Int32Array.from({ length: size }, (_, i) => i);
    return (replicate) => {
      const stream = random.fork(replicate);
      const rows = new Int32Array(size);
      for (let i = 0; i < size; i++) rows[i] = stream.integer(n);
      return { rows, unit: unit.slice() };
    };
  }
  const { codes, labels } = groupColumn("clusters", units.clusters);
  if (codes.length === 0) throw new DataError("clusters", "at least one row", units.clusters);
  const members: number[][] = labels.map(() => []);
  codes.forEach((code, row) => members[code]!.push(row));
  return (replicate) => {
    const stream = random.fork(replicate);
    const rows: number[] = [];
    const unit: number[] = [];
    for (let k = 0; k < (drawn ?? members.length); k++) {
      for (const row of members[stream.integer(members.length)]!) {
        rows.push(row);
        unit.push(k);
      }
    }
    return { rows: Int32Array.from(rows), unit: Int32Array.from(unit) };
  };
}

/**
 * A function that leaves out one of `groups` equal parts of the units, dealt at random by the seed:
 * a jackknife. With no more units than that, one unit at a time.
 *
 * @throws {DataError}
 */
export function leaver(
  units: ResamplingUnits,
  seed: number,
  groups: number,
): { count: number; leave(part: number): { rows: Int32Array; unit: Int32Array } } {
  const { rows, unit } = rowsThemselves(units);
  const total = unit.reduce((most, one) => Math.max(most, one), -1) + 1;
  const order = new SeededRandom(seed).fork(JACKKNIFE)
    .shuffle(Int32Array.from({ length: total }, (_, i) => i));
  const count = Math.min(groups, total);
  const partOf = new Int32Array(total);
  order.forEach((one, place) => partOf[one] = place % count);
  return {
    count,
    leave(part) {
      const kept = rows.filter((row) => partOf[unit[row]!] !== part);
      return { rows: kept, unit: Int32Array.from(kept, (row) => unit[row]!) };
    },
  };
}

// A stream that no replicate draws from.
const JACKKNIFE = 2 ** 31;

/**
 * Draws 0 .. wanted - 1 are replicates, of `drawn` units where that is given; those after them
 * leave out one part each.
 */
export function drawer(
  units: ResamplingUnits,
  seed: number,
  { wanted, parts, drawn }: { wanted: number; parts: number; drawn?: number },
): { count: number; rows(place: number): { rows: Int32Array; unit: Int32Array } } {
  const draw = resampler(units, seed, drawn);
  const { count, leave } = leaver(units, seed, parts);
  return {
    count: wanted + count,
    rows: (place) => place < wanted ? draw(place) : leave(place - wanted),
  };
}

/** The sample as it is, in the form of a draw. */
export function rowsThemselves(units: ResamplingUnits): { rows: Int32Array; unit: Int32Array } {
  const n = typeof units === "number" ? units : units.clusters.length;
  const rows = Int32Array.from({ length: n }, (_, i) => i);
  const unit = typeof units === "number"
    ? rows.slice()
    : groupColumn("clusters", units.clusters).codes;
  return { rows, unit };
}

/** How many units there are to draw. */
export function unitsIn(units: ResamplingUnits): number {
  return typeof units === "number" ? units : groupColumn("clusters", units.clusters).labels.length;
}

/**
 * How many units a replicate draws of an estimate whose error goes as 1 / sqrt(units): 20,000 where
 * there are more, undefined (all of them) where there are not. What is drawn then varies by
 * sqrt(units / drawn) too much, and is drawn in by as much.
 *
 * @see Bickel, Goetze & van Zwet (1997) Stat Sinica 7:1-31 (fewer draws than there are rows).
 */
export function drawnOfMany(units: ResamplingUnits): number | undefined {
  return unitsIn(units) > MANY ? MANY : undefined;
}
