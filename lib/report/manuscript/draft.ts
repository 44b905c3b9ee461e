import { appliesTo, type Article, articleOf, headingOf } from "../article/mod.ts";
import { type Method, methodAreas, workText } from "../methods/mod.ts";
import type { FigureItem, ReportModel, TableItem } from "../model/mod.ts";
import { headlineFindings, resultSentence, sentence, verdictSentence } from "../show/mod.ts";
import { type PlanLine, planLines, targetTrialTable } from "../supplement/mod.ts";
import type { Study } from "../../study/file/mod.ts";

/** All that a draft is made of, as plain data: what is not in here is not in it. */
export interface Draft {
  study: Pick<Study, "title" | "centre" | "question">;
  /** What the headline findings say, and what follows. */
  results: string;
  conclusion: string;
  /** The plan, term by term. */
  plan: PlanLine[];
  /** What was done, by area; works by their numbers in the list. */
  methods: { area: string; words: string }[];
  works: string[];
  sections: { topic: string; words: string }[];
  limits: string[];
  /** Each once, in the order of their numbers; the last writes out the trial that is emulated. */
  tables: TableItem[];
  figures: FigureItem[];
}

/** What the draft of a report is made of; null where a run showed nothing for one. */
export function draftOf(model: ReportModel): Draft | null {
  const { study, items: { findings, notes } } = model;
  const article = articleOf(model);
  if (article.sections.length === 0) return null;
  const headlines = headlineFindings(findings.map(({ item }) => item), study.estimand);
  const { title, centre, question } = study;
  return {
    study: { title, centre, question },
    results: headlines.map(resultSentence).join(" "),
    conclusion: headlines.map(verdictSentence).join(" "),
    plan: planLines(study),
    ...methodsText(model.methods.methods),
    sections: article.sections.map((filled) => ({
      topic: filled.section.topic,
      words: resultWords(filled, article),
    })),
    limits: notes.flatMap(({ item }) => item.about === "cannot-tell" ? [item.text] : []),
    tables: [...article.tables.map(({ item }) => item), targetTrialTable(study)],
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

/** Methods in words, works numbered in the order in which the text first names them. */
function methodsText(methods: readonly Method[]): Pick<Draft, "methods" | "works"> {
  const areas = Object.entries(methodAreas).map(([area, title]) => ({
    title,
    used: methods.filter((method) => method.area === area),
  }));
  const works = [...new Set(areas.flatMap(({ used }) => used).flatMap(({ sources }) => sources))];
  const cite = (sources: Method["sources"]) =>
    sources.length === 0
      ? ""
      : ` [${sources.map((key) => works.indexOf(key) + 1).sort((a, b) => a - b).join(", ")}]`;
  return {
    methods: areas.filter(({ used }) => used.length > 0).map(({ title, used }) => ({
      area: title,
      words: used.map(({ sentence, sources }) => `${sentence}${cite(sources)}`).join(" "),
    })),
    works: works.map(workText),
  };
}
