import type { DerivedRule } from "../../../study/mapping/mod.ts";

type Words = Extract<DerivedRule, { rule: "words-of" }>["words"];

/** What a column takes from a free text where none of its words is in it. */
interface TextColumn {
  column: string;
  words: Words;
  otherwise?: string | number;
}

const conversion = [
  "conversion",
  "converted",
  "konversion",
  "konvertier-",
  "umstieg",
  "umgestellt",
  "konvertiert",
  "convertie",
  "conversión",
  "conversione",
];
// what is no conversion of a repair: none at all, or one of the way in
const noConversion = [
  "no conversion",
  "not converted",
  "without conversion",
  "keine konversion",
  "ohne konversion",
  "kein umstieg",
  "pas de conversion",
  "sans conversion",
  "sin conversión",
  "senza conversione",
  ...["sternotomy", "median sternotomy", "full sternotomy", "thoracotomy", "open"].flatMap((
    way,
  ) => [
    `conversion to ${way}`,
    `converted to ${way}`,
  ]),
  ...["konversion", "umstieg"].flatMap((word) =>
    ["sternotomie", "mediane sternotomie", "thorakotomie"].flatMap((way) => [
      `${word} auf ${way}`,
      `${word} zur ${way}`,
      `${word} in ${way}`,
    ])
  ),
  "conversion en sternotomie",
  "conversión a esternotomía",
  "conversione in sternotomia",
];
const replacement = [
  "mke",
  "mvr",
  "mitral valve replacement",
  "mv replacement",
  "mitralklappenersatz",
  "-klappenersatz",
  "remplacement",
  "reemplazo",
  "sostituzione",
  "replacement",
  "ersatz",
];
const repair = [
  "mkr",
  "mvp",
  "mitral valve repair",
  "mv repair",
  "-rekonstruktion",
  "repair",
  "plastie",
  "annuloplast-",
  "-plastik",
  "reparación",
  "plastica",
  "reconstruction",
];

/**
 * Words by which a free text of a procedure fills columns, to be edited by whoever knows the texts.
 * English, German, French, Spanish and Italian. Common practice, no source.
 */
export const procedureWords: TextColumn[] = [
  {
    column: "intended",
    words: [
      { any: conversion, none: noConversion, code: "repair" },
      { any: replacement, code: "replacement" },
      { any: repair, code: "repair" },
    ],
  },
  {
    column: "final",
    words: [
      { any: conversion, none: noConversion, code: "replacement" },
      { any: replacement, code: "replacement" },
      { any: repair, code: "repair" },
    ],
  },
  {
    column: "ring_type",
    words: [
      { any: ["band", "-band"], code: "band" },
      { any: ["semirigid", "semi rigid", "semirigider", "halbstarr-"], code: "semirigid" },
      { any: ["flexible", "flexibler"], code: "flexible" },
      { any: ["rigid", "starrer", "rigider"], code: "rigid" },
    ],
    otherwise: "",
  },
  {
    column: "adjuncts",
    words: [
      {
        any: ["neochord-", "gore tex", "chords", "chordae", "-chorden", "sehnenfäden", "loops"],
        none: ["sparing", "erhalt", "preserved"],
        code: "neochordae",
      },
      { any: ["resection", "resektion", "-resektion", "résection"], code: "resection" },
      { any: ["edge to edge", "alfieri"], code: "edge_to_edge" },
    ],
    otherwise: "",
  },
  {
    column: "prosthesis",
    words: [
      { any: ["mechanical", "mechanisch-", "mécanique", "mech"], code: "mechanical" },
      {
        any: ["bioprosth-", "biological", "biologisch-", "bio", "tissue", "bioprothese"],
        code: "bioprosthesis",
      },
    ],
    otherwise: "",
  },
  {
    column: "tricuspid",
    words: [
      {
        any: ["tkr", "tricuspid", "trikuspidal-", "tk plastik", "tv repair", "dvtk"],
        code: "repair",
      },
    ],
    otherwise: "none",
  },
  {
    column: "af_ablation",
    words: [{ any: ["maze", "ablation", "-ablation"], code: 1 }],
    otherwise: 0,
  },
];

/** Words after which the size of a ring or the number of grafts stands. */
export const procedureNumbers: { column: string; after: string[]; otherwise?: number }[] = [
  { column: "ring_mm", after: ["ring", "-ring", "band", "size", "größe", "gr"] },
  { column: "cabg_grafts", after: ["cabg", "acb", "bypass", "pac"], otherwise: 0 },
];

/** The rules of these, over a column of texts. */
export function procedureRules(from: string): DerivedRule[] {
  return [
    ...procedureWords.map(({ column, words, otherwise }): DerivedRule => ({
      ...{ rule: "words-of", column, from, words },
      ...(otherwise !== undefined && { otherwise }),
    })),
    ...procedureNumbers.map(({ column, after, otherwise }): DerivedRule => ({
      ...{ rule: "number-after", column, from, after },
      ...(otherwise !== undefined && { otherwise }),
    })),
  ];
}
