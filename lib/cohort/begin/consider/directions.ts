import type { DictionaryColumn } from "../../dictionary/mod.ts";

// English, German, French, Spanish, Italian, Portuguese, Dutch: common practice, no source. A "no"
// at the end of a heading is a number.
const negations = new RegExp(
  String
    .raw`(^|[^\p{L}])(no(?!\P{L}*$)|not|non|without|never|free|absence|ohne|kein\p{L}*|nicht|nie|` +
    String.raw`sans|pas|sin|senza|sem|geen|zonder)([^\p{L}]|$)|\p{L}(frei|free)([^\p{L}]|$)`,
  "iu",
);
const deaths = new RegExp(
  String.raw`(^|[^\p{L}])(dead|death|died|deceased|mortality|exitus|(ver|ge)storben|tot|tod|` +
    String.raw`d[eé]c[eèé][ds]\p{L}*|mort\p{L}{0,2}|fallecid\p{L}*|muert\p{L}|decedut\p{L}|` +
    String.raw`decesso|[oó]bito|falecid\p{L}|overleden)([^\p{L}]|$)`,
  "iu",
);
const states = /^(dead|died|deceased|alive|living)$/i;

/** Whether a heading denies: "No diabetes", "ohne Voroperation", "stroke-free". */
export function deniesIn(heading: string): boolean {
  return negations.test(heading.normalize("NFC"));
}

/**
 * Whether a heading leaves open which way round yes and no are, or 1 and 0: one that denies, and of
 * death one that does not name it, as "Vital status" and "Alive" do not. Values that name the state
 * themselves are beyond doubt.
 */
export function mayBeTurned(
  { heading }: { heading: string },
  { name, type }: Pick<DictionaryColumn, "name" | "type">,
): boolean {
  if (type !== "binary") return false;
  return deniesIn(heading) || (name === "dead" && !deaths.test(heading.normalize("NFC")));
}

/** Whether a value of a status says by itself whether somebody lives. */
export function namesState(value: string): boolean {
  return states.test(value.trim());
}
