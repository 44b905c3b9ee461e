/**
 * Which of n places are still free, with the nearest free one on either side.
 *
 * Disjoint sets with path halving (Tarjan & van Leeuwen 1984, JACM 31:245): any run of n searches
 * and removals costs little more than O(n).
 */
export class FreePlaces {
  // after[i]: i if it is free, else some place beyond it, n at the end; before is its
  // mirror, one up
  readonly #after: Uint32Array;
  readonly #before: Uint32Array;
  readonly #n: number;

  constructor(n: number) {
    this.#n = n;
    this.#after = new Uint32Array(n + 1);
    this.#before = new Uint32Array(n + 1);
    for (let i = 0; i <= n; i++) this.#after[i] = this.#before[i] = i;
  }

  /** The first free place at or after i; n if there is none. */
  after(i: number): number {
    const links = this.#after;
    let at = i;
    while (links[at] !== at) at = links[at] = links[links[at]!]!;
    return at;
  }

  /** The last free place at or before i; -1 if there is none. */
  before(i: number): number {
    const links = this.#before;
    let at = i + 1;
    while (links[at] !== at) at = links[at] = links[links[at]!]!;
    return at - 1;
  }

  /** Takes a free place. */
  take(i: number): void {
    if (i < 0 || i >= this.#n) throw new RangeError(`no place ${i}`);
    this.#after[i] = i + 1;
    this.#before[i + 1] = i;
  }
}
