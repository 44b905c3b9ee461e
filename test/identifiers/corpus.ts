import type { SeededRandom } from "mitral";

// Invented identifiers as hospitals in four languages write them. No name, number or address here
// is anybody's: names are made of syllables, numbers are drawn.

/** Languages whose habits the corpus follows. */
export const languages = ["en", "de", "fr", "es"] as const;
type Language = (typeof languages)[number];

const pick = <T>(random: SeededRandom, list: readonly T[]): T => list[random.integer(list.length)]!;
const digits = (random: SeededRandom, n: number) =>
  Array.from({ length: n }, (_, k) => k === 0 ? 1 + random.integer(9) : random.integer(10)).join(
    "",
  );

const syllables: Record<Language, [string[], string[]]> = {
  en: [["Thorn", "Ash", "Wex", "Bram", "Hale"], ["wick", "combe", "ley", "worth", "by"]],
  de: [["Grün", "Stolz", "Weiß", "Bär", "Küh"], ["mann", "bauer", "ström", "hofer", "lein"]],
  fr: [["Bél", "Mont", "Gér", "Beau", "Chât"], ["rault", "vigny", "ançon", "menil", "elier"]],
  es: [["Per", "Zam", "Ibá", "Muñ", "Cas"], ["alta", "orano", "ñez", "eros", "illo"]],
};
const first: Record<Language, string[]> = {
  en: ["Ardel", "Corwin", "Maudie", "Tamsin"],
  de: ["Jörn", "Käthe", "Gisbert", "Uwe"],
  fr: ["Aurèle", "Mélusine", "Théo", "Odile"],
  es: ["Ícaro", "Nuria", "Fermín", "Íñigo"],
};
const streets: Record<Language, (name: string, n: number) => string> = {
  en: (name, n) => `${n} ${name} Street`,
  de: (name, n) => `${name}straße ${n}`,
  fr: (name, n) => `${n}, rue de ${name}`,
  es: (name, n) => `Calle ${name} ${n}`,
};
const postCodes: Record<Language, (random: SeededRandom) => string> = {
  en: (random) => `QX${1 + random.integer(9)} ${random.integer(10)}ZZ`,
  de: (random) => `D-${digits(random, 5)}`,
  fr: (random) => digits(random, 5),
  es: (random) => `0${digits(random, 4)}`,
};
const plates: Record<Language, (random: SeededRandom) => string> = {
  en: (random) => `XQ${10 + random.integer(80)} ZZQ`,
  de: (random) => `QX-ZZ ${100 + random.integer(900)}`,
  fr: (random) => `QX-${100 + random.integer(900)}-ZQ`,
  es: (random) => `${1000 + random.integer(9000)} QXZ`,
};
const notes: Record<Language, string> = {
  en: "seen with her sister, asks to be rung at work",
  de: "kam mit der Schwester, bittet um Rückruf",
  fr: "venue avec sa sœur, demande à être rappelée",
  es: "vino con su hermana, pide que la llamen",
};
const months: Record<Language, string> = { en: "March", de: "März", fr: "mars", es: "marzo" };

function surname(random: SeededRandom, language: Language): string {
  const [heads, tails] = syllables[language];
  return pick(random, heads) + pick(random, tails);
}

/** How a value of each class is written in a language. */
export const classes: Record<string, (random: SeededRandom, language: Language) => string> = {
  "full name": (r, l) => `${pick(r, first[l])} ${surname(r, l)}`,
  "surname first": (r, l) => `${surname(r, l)}, ${pick(r, first[l])}`,
  surname: (r, l) => surname(r, l),
  "decomposed letters": (r, l) => `${pick(r, first[l])} ${surname(r, l)}`.normalize("NFD"),
  "full-width letters": (r, l) => wide(`${pick(r, first[l])} ${surname(r, l)}`),
  "record number": (r) => digits(r, 8),
  "record number as a float": (r) => `${digits(r, 8)}.0`,
  "spreadsheet day with a fraction": (r) => `${38_000 + r.integer(7000)}.${digits(r, 3)}`,
  "decimal year": (r) => `${2004 + r.integer(18)}.${digits(r, 4)}`,
  date: (r, l) =>
    l === "en"
      ? `${1 + r.integer(28)}/${1 + r.integer(12)}/${2004 + r.integer(18)}`
      : `${1 + r.integer(28)}.${1 + r.integer(12)}.${2004 + r.integer(18)}`,
  "date in words": (r, l) => `${1 + r.integer(28)} ${months[l]} ${2004 + r.integer(18)}`,
  "post code": (r, l) => postCodes[l](r),
  street: (r, l) => streets[l](surname(r, l), 1 + r.integer(200)),
  latitude: (r) => `${40 + r.integer(15)}.${digits(r, 5)}`,
  telephone: (r) => `+99 ${digits(r, 3)} ${digits(r, 7)}`,
  "e-mail": (r, l) => `${surname(r, l).normalize("NFD").replace(/[^a-z]/gi, "")}@example.org`,
  "number plate": (r, l) => plates[l](r),
  code: (r) => `QX${digits(r, 5)}`,
  "insurance number": (r) => `Q${digits(r, 9)}`,
  "free text": (r, l) => `${notes[l]} ${1 + r.integer(90)}`,
};

function wide(text: string): string {
  return [...text].map((letter) => {
    const code = letter.charCodeAt(0);
    return code > 32 && code < 127 ? String.fromCharCode(code + 0xfee0) : letter;
  }).join("");
}
