import type { FindingItem } from "../model/mod.ts";

/** One section of the article: its topic, and what of a run goes into it. */
export interface ArticleSection {
  /** Its anchor. */
  id: string;
  topic: string;
  /** Endpoints whose main findings head it and bring their figure and table. */
  endpoints?: readonly FindingItem["endpoint"][];
  /**
   * Ids of notes, all of those that were shown; the first's first sentence heads a section without
   * a finding.
   */
  notes?: readonly string[];
  /** Ids of figures, the best first: the first that was shown is taken. */
  figures?: readonly string[];
  /** Ids of tables, the best first. */
  tables?: readonly string[];
  /** What of its table the page has no room for: it stands whole in the supplement. */
  shortened?: {
    /** How the keys of columns begin that are left out. */
    without?: readonly string[];
    /** Only rows with such words are kept, where there are any. */
    rows?: RegExp;
    /** What the table is called with these rows alone. */
    title?: string;
  };
  /**
   * Words in the names of notebooks that answer it: of these, where none of the ids above was
   * shown, the first figure, table and summary that no other section has are taken.
   */
  notebooks?: readonly string[];
}

/** Rows of the outcome that the figures of populations and techniques draw. */
const mainOutcome = /^(valve failure|every outcome)/i;

/**
 * What goes into the article, in its order. A study that shows none of what a section names has no
 * such section; everything else a run shows is in the supplement.
 */
export const articleSections: readonly ArticleSection[] = [
  {
    id: "studied",
    topic: "Who was studied",
    notes: ["who-was-studied", "followed-until", "followed"],
    figures: ["flow"],
    tables: ["completeness", "flow-table", "flow-counts"],
  },
  {
    id: "patients",
    topic: "Patients and operations",
    notes: ["patients-summary", "operations-summary"],
    figures: ["operations", "operations-over-time"],
    tables: ["characteristics"],
    shortened: { without: ["afterMatching."] },
  },
  {
    id: "alike",
    topic: "How alike the groups were made",
    notes: ["balance-left", "effective-left", "unmeasured"],
    figures: ["balance"],
    tables: ["effective-sample-size", "balance-table"],
  },
  {
    id: "survival",
    topic: "Survival",
    endpoints: ["death"],
    notes: ["survival-summary", "time-lived"],
    figures: ["survival-weighted", "survival-matched", "survival-whole"],
    tables: ["survival-weighted-table", "survival-matched-table", "survival-whole-table"],
  },
  {
    id: "valve-failure",
    topic: "Valve failure and recurrence",
    endpoints: ["valve-failure", "recurrence", "reoperation"],
    notes: ["valve-failure-summary", "months-free", "discovery"],
    figures: [
      "valve-failure",
      "valve-failure-weighted",
      "recurrence-weighted",
      "recurrence-matched",
    ],
    tables: [
      "valve-failure-table",
      "valve-failure-weighted-table",
      "recurrence-weighted-table",
      "recurrence-matched-table",
    ],
  },
  {
    id: "which-valves",
    topic: "In which valves",
    notes: ["valves-summary", "subgroups-summary", "which-valves"],
    figures: ["populations", "recurrence-subgroups"],
    tables: ["populations-table", "recurrence-subgroups-table"],
    shortened: {
      without: ["status", "drawn", "shrinkage"],
      rows: mainOutcome,
      title: "Valve failure in every population",
    },
    notebooks: ["which-valves", "populations"],
  },
  {
    id: "technique",
    topic: "Which technique",
    notes: ["technique-summary", "techniques-summary"],
    figures: ["techniques", "technique"],
    tables: ["techniques-table", "technique-table"],
    shortened: { without: ["status"], rows: mainOutcome, title: "Valve failure by technique" },
    notebooks: ["technique"],
  },
  {
    id: "ventricle",
    topic: "The ventricle",
    notes: ["ventricle-summary", "ventricle-marks"],
    figures: ["ventricle-risk"],
    tables: ["ventricle-change", "warning-marks"],
    notebooks: ["ventricle"],
  },
  {
    id: "programme",
    topic: "The programme",
    notes: ["programme-summary", "programme-in-short"],
    figures: ["programme-funnel", "programme-concentration", "programme-years"],
    tables: ["programme-rates"],
    notebooks: ["programme"],
  },
  {
    id: "robust",
    topic: "How robust the answer is",
    notes: ["sensitivity-summary", "choices-summary", "needed-unmeasured"],
    figures: ["defensible-paths", "specification-curve", "four-ways"],
    tables: ["whole-procedure", "four-ways-table"],
    notebooks: ["sensitivity"],
  },
];

/** Figures and tables of the first page, which no section repeats. */
export const frontTables: readonly string[] = ["grid", "ledger"];
