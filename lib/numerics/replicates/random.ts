import { DataError } from "../columns/mod.ts";

/**
 * Seeded random numbers: the same seed gives the same stream on any machine.
 *
 * xoshiro128** of Blackman and Vigna (2021, ACM TOMS 47:36), seeded through splitmix32. Not for
 * secrets.
 */
export class SeededRandom {
  readonly #state = new Uint32Array(4);
  readonly #seed: number;
  #spare = NaN;

  /** Begins the sequence that belongs to the seed. */
  constructor(seed: number) {
    if (!Number.isSafeInteger(seed) || seed < 0) {
      throw new DataError("seed", "a whole number >= 0", seed);
    }
    this.#seed = seed;
    let mix = (seed % 4294967296) ^ Math.imul(Math.floor(seed / 4294967296), 0x9e3779b1);
    for (let i = 0; i < 4; i++) {
      mix = (mix + 0x9e3779b9) | 0;
      let z = mix ^ (mix >>> 16);
      z = Math.imul(z, 0x21f0aaad);
      z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
      this.#state[i] = z ^ (z >>> 15);
    }
  }

  /** An independent stream, fixed by this generator's seed and the label, not by draws so far. */
  fork(label: number): SeededRandom {
    const mixed = Math.imul(this.#seed + 1, 0x85ebca6b) ^ Math.imul(label + 1, 0xc2b2ae35);
    return new SeededRandom((mixed >>> 0) + (label % 2097152) * 4294967296);
  }

  /** 32 random bits. */
  bits(): number {
    const s = this.#state;
    const product = Math.imul(s[1]!, 5);
    const result = Math.imul((product << 7) | (product >>> 25), 9);
    const shifted = s[1]! << 9;
    s[2]! ^= s[0]!;
    s[3]! ^= s[1]!;
    s[1]! ^= s[2]!;
    s[0]! ^= s[3]!;
    s[2]! ^= shifted;
    s[3] = (s[3]! << 11) | (s[3]! >>> 21);
    return result >>> 0;
  }

  /** Uniform on the open interval (0, 1), 53 bits. */
  uniform(): number {
    return ((this.bits() >>> 6) * 134217728 + (this.bits() >>> 5) + 0.5) / 9007199254740992;
  }

  /** Standard normal, by the polar method of Marsaglia and Bray (1964). */
  normal(): number {
    if (!Number.isNaN(this.#spare)) {
      const value = this.#spare;
      this.#spare = NaN;
      return value;
    }
    for (;;) {
      const u = 2 * this.uniform() - 1;
      const v = 2 * this.uniform() - 1;
      const square = u * u + v * v;
      if (square >= 1 || square === 0) continue;
      const scale = Math.sqrt(-2 * Math.log(square) / square);
      this.#spare = v * scale;
      return u * scale;
    }
  }

  /** Exponential with the given rate. */
  exponential(rate = 1): number {
    return -Math.log(this.uniform()) / rate;
  }

  /** 1 with the given probability, else 0. */
  bernoulli(probability: number): 0 | 1 {
    return this.uniform() < probability ? 1 : 0;
  }

  /** Whole number in 0 .. bound - 1. */
  integer(bound: number): number {
    return Math.floor(this.uniform() * bound);
  }

  /** Index drawn with the given weights. */
  choice(weights: ArrayLike<number>): number {
    let total = 0;
    for (let i = 0; i < weights.length; i++) total += weights[i]!;
    let left = this.uniform() * total;
    for (let i = 0; i < weights.length - 1; i++) {
      left -= weights[i]!;
      if (left < 0) return i;
    }
    return weights.length - 1;
  }

  /** Shuffles in place (Fisher and Yates). */
  shuffle<T extends { length: number; [index: number]: unknown }>(values: T): T {
    for (let i = values.length - 1; i > 0; i--) {
      const j = this.integer(i + 1);
      const held = values[i];
      values[i] = values[j];
      values[j] = held;
    }
    return values;
  }
}
