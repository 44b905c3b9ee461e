import type { Pair } from "./greedy.ts";
import type { MatchLayout } from "./layout.ts";

/**
 * Greedy matching without replacement that always makes the globally closest pair next; equal
 * differences: the lower treated row, then the lower control row.
 *
 * Units at one distance form a node; a node that holds both kinds pairs them off at once (nothing
 * is closer). After that the closest pair is always a pair of neighbouring nodes of different kind,
 * so a heap of neighbouring pairs over a linked list of nodes suffices. Each pair made changes a
 * bounded number of neighbours: O(n log n). Rounds as in matchGreedy.
 */
export function matchClosest(
  layout: MatchLayout,
  rules: { width: number; partners: number },
): Pair[] {
  const { treatedStarts, controlStarts } = layout;
  const pairs: Pair[] = [];
  let treated = Array.from(
    { length: treatedStarts.length - 1 },
    (_, s) => range(treatedStarts[s]!, treatedStarts[s + 1]!),
  );
  let controls = Array.from(
    { length: controlStarts.length - 1 },
    (_, s) => range(controlStarts[s]!, controlStarts[s + 1]!),
  );
  for (let round = 0; round < rules.partners; round++) {
    const made: { gap: number; t: number; c: number; s: number }[] = [];
    for (let s = 0; s < treated.length; s++) {
      for (const pair of closestInStratum(layout, treated[s]!, controls[s]!, rules.width)) {
        made.push({ ...pair, s });
      }
    }
    made.sort((a, b) =>
      a.gap - b.gap || layout.treatedRows[a.t]! - layout.treatedRows[b.t]! ||
      layout.controlRows[a.c]! - layout.controlRows[b.c]!
    );
    for (const { t, c } of made) pairs.push([layout.treatedRows[t]!, layout.controlRows[c]!]);
    if (round + 1 === rules.partners) break;
    const served = new Set(made.map((pair) => pair.t));
    const taken = new Set(made.map((pair) => pair.c));
    treated = treated.map((places) => places.filter((t) => served.has(t)));
    controls = controls.map((places) => places.filter((c) => !taken.has(c)));
  }
  return pairs;
}

function range(from: number, to: number): Uint32Array {
  return Uint32Array.from({ length: to - from }, (_, i) => from + i);
}

interface ClosePair {
  gap: number;
  t: number;
  c: number;
}

/** One stratum's pairs; `treated` and `controls` are places, ascending. */
function closestInStratum(
  layout: MatchLayout,
  treated: Uint32Array,
  controls: Uint32Array,
  width: number,
): ClosePair[] {
  const { treatedAt, controlAt, treatedRows, controlRows } = layout;
  const made: ClosePair[] = [];
  const limit = treated.length + controls.length;
  // Node k holds places from[k] .. to[k] - 1 of `treated` or of `controls`, lowest row first.
  const at = new Float64Array(limit);
  const isTreated = new Uint8Array(limit);
  const from = new Uint32Array(limit);
  const to = new Uint32Array(limit);
  let nodes = 0;
  for (let i = 0, j = 0; i < treated.length || j < controls.length;) {
    const value = Math.min(
      i < treated.length ? treatedAt[treated[i]!]! : Infinity,
      j < controls.length ? controlAt[controls[j]!]! : Infinity,
    );
    while (
      i < treated.length && j < controls.length && treatedAt[treated[i]!] === value &&
      controlAt[controls[j]!] === value
    ) {
      made.push({ gap: 0, t: treated[i++]!, c: controls[j++]! });
    }
    const startTreated = i;
    while (i < treated.length && treatedAt[treated[i]!] === value) i++;
    const startControl = j;
    while (j < controls.length && controlAt[controls[j]!] === value) j++;
    if (i === startTreated && j === startControl) continue;
    at[nodes] = value;
    isTreated[nodes] = i > startTreated ? 1 : 0;
    from[nodes] = isTreated[nodes] ? startTreated : startControl;
    to[nodes] = isTreated[nodes] ? i : j;
    nodes++;
  }
  const previous = Int32Array.from({ length: nodes }, (_, k) => k - 1);
  const next = Int32Array.from({ length: nodes }, (_, k) => k + 1 < nodes ? k + 1 : -1);
  const heap = new PairHeap();
  const offer = (left: number, right: number) => {
    if (left < 0 || right < 0 || isTreated[left] === isTreated[right]) return;
    const gap = at[right]! - at[left]!;
    if (!(gap <= width)) return;
    const [a, b] = isTreated[left] ? [left, right] : [right, left];
    const t = treated[from[a]!]!;
    const c = controls[from[b]!]!;
    heap.push({ gap, t, c, a, b, rowT: treatedRows[t]!, rowC: controlRows[c]! });
  };
  for (let k = 0; k + 1 < nodes; k++) offer(k, k + 1);
  for (let top = heap.pop(); top; top = heap.pop()) {
    const { a, b, t, c } = top;
    // an offer is stale once either of its units has gone
    if (from[a] === to[a] || from[b] === to[b]) continue;
    if (treated[from[a]!] !== t || controls[from[b]!] !== c) continue;
    made.push({ gap: top.gap, t, c });
    for (const node of [a, b]) {
      if (++from[node]! < to[node]!) continue;
      const left = previous[node]!;
      const right = next[node]!;
      if (left >= 0) next[left] = right;
      if (right >= 0) previous[right] = left;
    }
    const left = Math.min(a, b);
    const right = Math.max(a, b);
    const leftLives = from[left]! < to[left]!;
    const rightLives = from[right]! < to[right]!;
    if (leftLives) offer(previous[left]!, left);
    if (rightLives) offer(right, next[right]!);
    // one that has gone still knows the neighbour it had on its outer side
    offer(leftLives ? left : previous[left]!, rightLives ? right : next[right]!);
  }
  return made;
}

interface Offer extends ClosePair {
  a: number;
  b: number;
  rowT: number;
  rowC: number;
}

/** Binary heap, the closest offer on top. */
class PairHeap {
  readonly #items: Offer[] = [];

  push(item: Offer): void {
    const items = this.#items;
    let i = items.push(item) - 1;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (!before(item, items[parent]!)) break;
      items[i] = items[parent]!;
      i = parent;
    }
    items[i] = item;
  }

  pop(): Offer | undefined {
    const items = this.#items;
    const top = items[0];
    const last = items.pop();
    if (!last || items.length === 0) return top;
    let i = 0;
    for (;;) {
      let child = 2 * i + 1;
      if (child >= items.length) break;
      if (child + 1 < items.length && before(items[child + 1]!, items[child]!)) child++;
      if (!before(items[child]!, last)) break;
      items[i] = items[child]!;
      i = child;
    }
    items[i] = last;
    return top;
  }
}

function before(a: Offer, b: Offer): boolean {
  if (a.gap !== b.gap) return a.gap < b.gap;
  return a.rowT !== b.rowT ? a.rowT < b.rowT : a.rowC < b.rowC;
}
