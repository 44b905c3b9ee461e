import { SeededRandom } from "mitral";

export function visits(seed: number) {
  const random = new SeededRandom(seed);
  const year = Array.from({ length: 150 }, () => Math.floor(random.exponential(0.2)));
  return {
    lower: year.map((y) => Math.min(y, 8)),
    upper: year.map((y) => y >= 8 ? Infinity : y + 1),
  };
}
