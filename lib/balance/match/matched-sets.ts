import type { Pair } from "./greedy.ts";

/** Rows of pairs, set by set: a treated row, then its controls. */
export interface MatchedSets {
  rows: Int32Array;
  /** The matched set of each, 0, 1, ... */
  pairId: Int32Array;
  treated: Uint8Array;
  /** 1, or 1 / k for each of k controls of one set. */
  rowWeight: Float64Array;
  /** Number of sets. */
  sets: number;
}

/** Gathers pairs that share their treated row. Cost O(pairs). */
export function setsOf(pairs: readonly Pair[]): MatchedSets {
  const partners = new Map<number, number[]>();
  for (const [one, control] of pairs) {
    const list = partners.get(one);
    if (list) list.push(control);
    else partners.set(one, [control]);
  }
  const size = partners.size + pairs.length;
  const rows = new Int32Array(size);
  const pairId = new Int32Array(size);
  const treated = new Uint8Array(size);
  const rowWeight = new Float64Array(size);
  let next = 0;
  let sets = 0;
  const place = (row: number, one: 0 | 1, share: number) => {
    rows[next] = row;
    pairId[next] = sets;
    treated[next] = one;
    rowWeight[next++] = share;
  };
  for (const [one, controls] of partners) {
    place(one, 1, 1);
    for (const row of controls) place(row, 0, 1 / controls.length);
    sets++;
  }
  return { rows, pairId, treated, rowWeight, sets };
}
