// Plain clinical English: phrases that readers stumbled over. The list is our own, from reading the
// report aloud; common practice, no source.

/** Each with its name, to be told where it is found. */
const odd: [name: string, phrase: RegExp][] = [
  ["speaks of", /\bspeak(s|ing)? of\b/i],
  ["tells of", /\b(tells?|telling|told) of\b/i],
  ["too uncertain to say", /\btoo uncertain to say\b/i],
  [
    "holds, for includes",
    /\b(range|interval|limits?|file)s? (also )?holds? (both|no difference|zero)\b/i,
  ],
  ["line, for cut-off", /\b(planned line|where the line came|(above|below|at) the line\b)/i],
  // "10% with with ablation": a label that begins as the sentence goes on
  [
    "a word twice",
    /(?<![\p{L}-])(with|without|of|in|the|a|to|and|by|at|for|is|on) \1 /u,
  ],
  // a sentence, with its full stop, that begins with "Who" and asks nothing
  ["who, for patients who", /(^|[.!?:] )(Who|Whom) [^.?!]+\.( |$)/],
];

/** The names of the odd phrases in a text. */
export function oddIn(text: string): string[] {
  return odd.filter(([, phrase]) => phrase.test(text)).map(([name]) => name);
}
