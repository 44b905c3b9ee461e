/** Words as they begin a sentence. */
export function capitalized(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Words that may begin a sentence, as they stand within one. */
export function uncapitalized(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

/** "Repair" within a sentence is "repair"; an abbreviation such as "LVEF" stays as it is. */
export function inSentence(label: string): string {
  return /^\p{Lu}\p{Ll}/u.test(label) ? uncapitalized(label) : label;
}
