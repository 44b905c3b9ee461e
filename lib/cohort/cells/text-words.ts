/** Text as words are looked for in it: lower case, without accents, one blank between words. */
export function plainWords(text: string): string {
  return text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().replaceAll("ß", "ss")
    .replace(/[^\p{L}\p{N}+.,]+/gu, " ").replace(/[.,](?!\d)/g, " ").replace(/ +/g, " ").trim();
}

/**
 * Finds a word or words in a text from {@link plainWords}: whole words, but that "-ring" also ends
 * a longer one and "ring-" also begins one.
 */
export function wordFinder(word: string): (text: string) => boolean {
  const pattern = new RegExp(patternOf(word), "u");
  return (text) => pattern.test(text);
}

/** Finds the first number that follows a word within a few letters; `null` where there is none. */
export function numberFinder(word: string): (text: string) => string | null {
  const pattern = new RegExp(`${patternOf(word)}[^\\d]{0,20}?(\\d+(?:[.,]\\d+)?)`, "u");
  return (text) => pattern.exec(text)?.[1]?.replace(",", ".") ?? null;
}

function patternOf(word: string): string {
  const trimmed = word.trim();
  const inner = plainWords(trimmed).replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const before = trimmed.startsWith("-") ? "" : "(?<![\\p{L}\\p{N}])";
  const after = trimmed.endsWith("-") ? "" : "(?![\\p{L}])";
  return `${before}${inner}${after}`;
}
