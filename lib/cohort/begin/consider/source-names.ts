/**
 * What a column of an export may be that no column of the dictionary is, but some are
 * worked out from.
 */
export const sourceKinds = {
  operation: "date of operation",
  birth: "date of birth",
  contact: "date of last contact",
  death: "date of death",
  reintervention: "date of the reintervention",
  admission: "date of admission",
  discharge: "date of discharge",
  visit: "date of the echocardiogram",
  creatinine: "creatinine",
  height: "height",
  weight: "weight",
  text: "procedure in free text",
} as const;

/** One of {@link sourceKinds}. */
export type SourceKind = keyof typeof sourceKinds;

/** Names they go by: English, German, French, Spanish, Italian. Common practice, no source. */
export const sourceNames: Record<SourceKind, string[]> = {
  operation: [
    "date of operation",
    "operation date",
    "op date",
    "surgery date",
    "date of surgery",
    "op datum",
    "operationsdatum",
    "datum op",
    "date opération",
    "date intervention",
    "fecha cirugía",
    "data intervento",
  ],
  birth: [
    "date of birth",
    "birth date",
    "dob",
    "geburtsdatum",
    "geb datum",
    "date de naissance",
    "fecha de nacimiento",
    "data di nascita",
  ],
  contact: [
    "date of last contact",
    "last contact",
    "last follow up",
    "date last follow up",
    "last seen",
    "last fu",
    "last f u",
    "last visit",
    "last known alive",
    "letzter kontakt",
    "datum letzter kontakt",
    "letzte nachsorge",
    "dernières nouvelles",
    "último contacto",
    "ultimo contatto",
  ],
  death: [
    "date of death",
    "death date",
    "todesdatum",
    "sterbedatum",
    "date de décès",
    "fecha de muerte",
    "data di morte",
  ],
  reintervention: [
    "date of reintervention",
    "reintervention date",
    "date of reoperation",
    "redo date",
    "reop date",
    "redo mv date",
    "re op datum",
    "datum reintervention",
    "datum reoperation",
    "date réintervention",
    "fecha reintervención",
  ],
  admission: ["admission date", "date of admission", "aufnahmedatum", "date admission"],
  discharge: ["discharge date", "date of discharge", "entlassungsdatum", "date de sortie"],
  visit: [
    "echo date",
    "tte date",
    "date of echo",
    "date of visit",
    "visit date",
    "date",
    "datum",
    "untersuchungsdatum",
    "echodatum",
    "datum echo",
    "date echo",
  ],
  creatinine: [
    "creatinine",
    "serum creatinine",
    "kreatinin",
    "créatinine",
    "creatinina",
    "krea",
    "creat",
  ],
  height: ["height", "größe", "groesse", "körpergröße", "taille", "talla", "altezza"],
  weight: ["weight", "gewicht", "körpergewicht", "poids", "peso"],
  text: [
    "procedure text",
    "operation text",
    "procedures",
    "operation performed",
    "eingriff",
    "op text",
    "prozedur",
    "operation",
    "procedure",
    "intervention",
  ],
};

/**
 * Names that several columns go by: before or after the operation, of the patient or of the valve.
 * They are always asked about. Common practice, no source.
 */
export const ambiguousNames: ReadonlySet<string> = new Set(
  ("status|procedure|operation|plan|planned|cause|access|ring|valve|repair|stroke|dialysis|bleeding|" +
    "reoperation|previous surgery|time|days|indication|mortality|mechanism|post|reop|outcome|" +
    "intervention|eingriff|stay|fu|reason|ablation|grafts|techniques|performed|intention|prolapse|" +
    "pathology|rhythm|im|date|datum|re op|year|alive|survival|event|grade|gradient|death|priority")
    .split("|"),
);
