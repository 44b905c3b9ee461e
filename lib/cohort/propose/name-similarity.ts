import { Memory } from "../../numerics/memory/mod.ts";

const noise = new Set(
  "mm cm ml l min mmhg pct percent days day weeks week years year yrs months m2 cm2 mm2 mg dl umol kg m inch inches lb lbs pounds the of at in and nr no"
    .split(" "),
);

/**
 * How alike two names of a column are, from 0 to 1: 1 where they are the same but for case,
 * punctuation and units; else the larger of the shares of words and of pairs of letters in common.
 *
 * @see Dice (1945) Ecology 26:297–302
 */
export function nameSimilarity(a: string, b: string): number {
  const [left, right] = [partsOf(a), partsOf(b)];
  if (left.words.length === 0 || right.words.length === 0) return 0;
  if (left.joined === right.joined) return 1;
  // words of one name inside a longer one prove little where they are short
  return Math.max(0.95 * dice(left.words, right.words), dice(left.pairs, right.pairs));
}

interface NameParts {
  words: string[];
  joined: string;
  pairs: string[];
}

// each name is compared with hundreds of others
const remembered = new Memory<NameParts>(5000);

function partsOf(name: string): NameParts {
  return remembered.get(name, () => {
    const words = wordsOf(name);
    const joined = words.join("");
    return { words, joined, pairs: pairsOf(joined) };
  });
}

/**
 * Words in lower case without accents, units and numbering; all of them, if nothing else is left.
 */
function wordsOf(name: string): string[] {
  const words = name.normalize("NFD").replace(/\p{M}/gu, "").replaceAll("ß", "ss")
    .replace(/([a-z])([A-Z])/g, "$1 $2").toLowerCase().split(/[^a-z0-9]+/)
    .filter((word) => word !== "");
  const telling = words.filter((word) => !noise.has(word));
  return telling.length > 0 ? telling : words;
}

function pairsOf(text: string): string[] {
  return Array.from({ length: Math.max(0, text.length - 1) }, (_, i) => text.slice(i, i + 2));
}

function dice(a: string[], b: string[]): number {
  if (a.length + b.length === 0) return 0;
  const left = [...b];
  let common = 0;
  for (const item of a) {
    const at = left.indexOf(item);
    if (at < 0) continue;
    common++;
    left.splice(at, 1);
  }
  return 2 * common / (a.length + b.length);
}
