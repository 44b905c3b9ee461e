import { type GroupColumn, orderOf } from "../../numerics/mod.ts";

/**
 * Treated and controls laid out for matching on one number: each stratum's controls side by side,
 * ascending by score, equal scores by ascending row. Only places (positions in these arrays)
 * are used while matching; rows come back at the end.
 */
export interface MatchLayout {
  /** Treated rows in the same order as controls: by stratum, score, row. */
  treatedRows: Uint32Array;
  treatedAt: Float64Array;
  controlRows: Uint32Array;
  controlAt: Float64Array;
  /**
   * First control place and the one after the last of stratum s are starts[s] and starts[s + 1].
   */
  controlStarts: Uint32Array;
  treatedStarts: Uint32Array;
  /** Treated places of all strata together, ascending by score, then row. */
  ascending: Uint32Array;
  /** For each treated place, the first control place of its stratum not below its score. */
  meets: Uint32Array;
}

/** Sorts once (radix), then splits by stratum and group. Cost O(n). */
export function layoutFor(
  treated: Uint8Array,
  score: Float64Array,
  strata: GroupColumn | undefined,
): MatchLayout {
  const n = treated.length;
  const order = orderOf(score);
  const count = strata ? strata.labels.length : 1;
  const controlStarts = new Uint32Array(count + 1);
  const treatedStarts = new Uint32Array(count + 1);
  for (let row = 0; row < n; row++) {
    const stratum = strata ? strata.codes[row]! : 0;
    (treated[row] === 1 ? treatedStarts : controlStarts)[stratum + 1]!++;
  }
  for (let s = 0; s < count; s++) {
    controlStarts[s + 1]! += controlStarts[s]!;
    treatedStarts[s + 1]! += treatedStarts[s]!;
  }
  const nTreated = treatedStarts[count]!;
  const treatedRows = new Uint32Array(nTreated);
  const treatedAt = new Float64Array(nTreated);
  const controlRows = new Uint32Array(n - nTreated);
  const controlAt = new Float64Array(n - nTreated);
  const ascending = new Uint32Array(nTreated);
  let met = 0;
  const nextTreated = treatedStarts.slice();
  const nextControl = controlStarts.slice();
  for (let i = 0; i < n; i++) {
    const row = order[i]!;
    const stratum = strata ? strata.codes[row]! : 0;
    if (treated[row] === 1) {
      const place = nextTreated[stratum]!++;
      ascending[met++] = place;
      treatedRows[place] = row;
      treatedAt[place] = score[row]!;
    } else {
      const place = nextControl[stratum]!++;
      controlRows[place] = row;
      controlAt[place] = score[row]!;
    }
  }
  const meets = new Uint32Array(nTreated);
  for (let s = 0; s < count; s++) {
    let place = controlStarts[s]!;
    const end = controlStarts[s + 1]!;
    for (let t = treatedStarts[s]!; t < treatedStarts[s + 1]!; t++) {
      while (place < end && controlAt[place]! < treatedAt[t]!) place++;
      meets[t] = place;
    }
  }
  return {
    treatedRows,
    treatedAt,
    controlRows,
    controlAt,
    controlStarts,
    treatedStarts,
    ascending,
    meets,
  };
}

/** The stratum of every treated place. */
export function stratumOfTreated(layout: MatchLayout): Uint32Array {
  const { treatedStarts } = layout;
  const stratum = new Uint32Array(layout.treatedRows.length);
  for (let s = 0; s + 1 < treatedStarts.length; s++) {
    stratum.fill(s, treatedStarts[s]!, treatedStarts[s + 1]!);
  }
  return stratum;
}

/**
 * For each control place, where its run of equal distances within its stratum starts, and where the
 * next run does.
 */
export function runsOf(layout: MatchLayout): { start: Uint32Array; end: Uint32Array } {
  const { controlAt, controlStarts } = layout;
  const start = new Uint32Array(controlAt.length);
  const end = new Uint32Array(controlAt.length);
  for (let s = 0; s + 1 < controlStarts.length; s++) {
    const first = controlStarts[s]!;
    const last = controlStarts[s + 1]! - 1;
    for (let i = first; i <= last; i++) {
      start[i] = i > first && controlAt[i] === controlAt[i - 1] ? start[i - 1]! : i;
    }
    for (let i = last; i >= first; i--) {
      end[i] = i < last && controlAt[i] === controlAt[i + 1] ? end[i + 1]! : i + 1;
    }
  }
  return { start, end };
}
