export function totalOf(pairs: [number, number][], score: ArrayLike<number>): number {
  return pairs.reduce((sum, [t, c]) => sum + Math.abs(score[t]! - score[c]!), 0);
}
