import type { SeededRandom } from "../../numerics/mod.ts";

// consonants only: never a word, a number, a date or a code of any register
const letters = "bcdfghjkmnpqrstvwxz";

/** Random, distinct pseudonyms of seven letters. */
export function pseudonyms(random: SeededRandom, count: number): string[] {
  const taken = new Set<string>();
  while (taken.size < count) {
    let name = "";
    for (let k = 0; k < 7; k++) name += letters[random.integer(letters.length)];
    taken.add(name);
  }
  return [...taken];
}
