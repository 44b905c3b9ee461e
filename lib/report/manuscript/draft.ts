import { appliesTo, type Article, articleOf, headingOf } from "../article/mod.ts";
import type { Method } from "../methods/mod.ts";
import type { FigureItem, ReportModel, TableItem } from "../model/mod.ts";
import {
  type FindingData,
  headlineFindings,
  resultSentence,
  sentence,
  verdictSentence,
} from "../show/mod.ts";
import type { Study } from "../../study/file/mod.ts";

/** All that a draft is made of, as plain data: what is not in here is not in it. */
export interface Draft {
  study: Study;
  methods: readonly Method[];
  headlines: FindingData[];
  sections: { topic: string; words: string }[];
  limits: string[];
  /** Each once, in the order of their numbers. */
  tables: TableItem[];
  figures: FigureItem[];
}

/** What the draft of a report is made of; null where a run showed nothing for one. */
export function draftOf(model: ReportModel): Draft | null {
  const { study, items: { findings, notes } } = model;
  const article = articleOf(model);
  if (article.sections.length === 0) return null;
  return {
    study,
    methods: model.methods.methods,
    headlines: headlineFindings(findings.map(({ item }) => item), study.estimand),
    sections: article.sections.map((filled) => ({
      topic: filled.section.topic,
      words: resultWords(filled, article),
    })),
    limits: notes.flatMap(({ item }) => item.about === "cannot-tell" ? [item.text] : []),
    tables: article.tables.map(({ item }) => item),
    figures: article.figures.map(({ item }) => item),
  };
}

/** What a section found, and where its table and figure are. */
function resultWords(filled: Article["sections"][number], { place }: Article): string {
  const { findings, notes, figure, table } = filled;
  const lines = [
    ...findings.map(({ item }) =>
      `${verdictSentence(item)} ${resultSentence(item)} ${appliesTo(item)}`
    ),
    ...notes.map(({ item }) => item.text),
  ];
  const words = lines.length > 0 ? lines.join(" ") : sentence(headingOf(filled));
  const shown = [table, figure].flatMap((placed) => placed ? [place.nameOf(placed)] : []);
  return shown.length > 0 ? `${words} (${shown.join(", ")})` : words;
}
