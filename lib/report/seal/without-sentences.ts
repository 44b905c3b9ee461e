const why =
  "(A sentence is withheld: read together with the tables, it would give away a count too " +
  "small to be published.)";

/** A value with some sentences taken out of every text in it. */
export function withoutSentences<T>(value: T, sentences: readonly string[]): T {
  const patterns = sentences.map(patternOf);
  const without = (one: unknown): unknown => {
    if (typeof one === "string") {
      return patterns.reduce((text, pattern) => text.replace(pattern, replaced), one);
    }
    if (Array.isArray(one)) return one.map(without);
    if (typeof one !== "object" || one === null || ArrayBuffer.isView(one)) return one;
    return Object.fromEntries(Object.entries(one).map(([key, inner]) => [key, without(inner)]));
  };
  return without(value) as T;
}

/** What stands in a sentence's place; tags that it had in it stay, so that they still close. */
function replaced(found: string): string {
  return why + (found.match(/<[^>]+>/g) ?? []).join("");
}

/** A sentence as text, Markdown, or HTML, with whatever tags and spaces between its words. */
function patternOf(sentence: string): RegExp {
  const words = sentence.split(/[\s*_`]+/).filter((word) => word !== "").map((word) => {
    const inHtml = word.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
    const forms = [...new Set([word, inHtml, inHtml.replaceAll("'", "&apos;")])];
    return `(?:${forms.map((form) => RegExp.escape(form)).join("|")})`;
  });
  return new RegExp(words.join(String.raw`(?:[\s*_\x60]|&nbsp;|&#xA0;|<[^>]*>)+`), "g");
}
