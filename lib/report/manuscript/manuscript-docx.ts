import { Document, HeadingLevel, ImageRun, Packer, PageBreak, Paragraph } from "docx";
import { appliesTo, type Article, headingOf } from "../article/mod.ts";
import { methodAreas, type MethodsUsed, workText } from "../methods/mod.ts";
import type { FigureItem, Placed, ReportModel } from "../model/mod.ts";
import { headlineFindings, resultSentence, sentence, verdictSentence } from "../show/mod.ts";
import { planLines, targetTrialTable } from "../supplement/mod.ts";
import {
  figureLegend,
  margin,
  pageOf,
  portrait,
  reproducible,
  run,
  tableBlock,
  wordStyles,
} from "../word/mod.ts";

/**
 * The draft of an article as a Word document, in the order in which journals want it: title,
 * summary, methods, results, limits, references, then tables, legends and figures. Every number of
 * the results is a finding's, a note's or a table's; what only authors can write is left to them,
 * and said so. The same run gives the same bytes.
 */
export async function manuscriptDocx(
  model: ReportModel,
  options: { article: Article; pictures: ReadonlyMap<string, Uint8Array<ArrayBuffer>> },
): Promise<Uint8Array<ArrayBuffer>> {
  const { article, pictures } = options;
  const { figures, tables } = article;
  const trial = targetTrialTable(model.study);
  const onPage = { page: { size: portrait, margin } };
  const document = new Document({
    creator: model.study.centre,
    title: model.study.title,
    styles: wordStyles,
    sections: [
      { properties: onPage, children: text(model, article) },
      ...tables.map(({ item }, index) => ({
        properties: pageOf(item),
        children: tableBlock(item, index + 1),
      })),
      { properties: pageOf(trial), children: tableBlock(trial, tables.length + 1) },
      ...(figures.length > 0
        ? [{
          properties: onPage,
          children: [
            heading("Figure legends"),
            ...figures.map(({ item }, index) => figureLegend(item, index + 1)),
            ...figures.flatMap((placed, index) => picture(placed, index, pictures)),
          ],
        }]
        : []),
    ],
  });
  return reproducible(new Uint8Array(await Packer.toArrayBuffer(document)));
}

function text(model: ReportModel, article: Article): Paragraph[] {
  const { study, methods } = model;
  const { cite, works } = citations(methods);
  const headlines = headlineFindings(model.items.findings.map(({ item }) => item), study.estimand);
  const areas = Object.entries(methodAreas).flatMap(([area, title]) => {
    const used = methods.methods.filter((method) => method.area === area);
    if (used.length === 0) return [];
    const words = used.map(({ sentence, sources }) => `${sentence}${cite(sources)}`).join(" ");
    return [heading(title, HeadingLevel.HEADING_2), paragraph(words)];
  });
  return [
    new Paragraph({
      heading: HeadingLevel.TITLE,
      children: [run(study.title, { bold: true, size: 32, color: "000000" })],
    }),
    paragraph(`${study.centre}. Draft written by rule from one run; its authors answer for it.`),
    heading("Summary"),
    paragraph(`Question. ${study.question}`),
    paragraph(`Results. ${headlines.map(resultSentence).join(" ")}`),
    paragraph(`Conclusion. ${headlines.map(verdictSentence).join(" ")}`),
    heading("Introduction"),
    paragraph("For the authors to write: the program knows the question only."),
    heading("Methods"),
    ...planLines(study).map(([term, words]) => paragraph(words, `${term}. `)),
    paragraph(
      `Table ${
        article.tables.length + 1
      } writes out the randomised trial that the cohort takes the place of.`,
    ),
    ...areas,
    heading("Results"),
    ...article.sections.flatMap((filled) => [
      heading(filled.section.topic, HeadingLevel.HEADING_2),
      paragraph(resultWords(filled, article)),
    ]),
    heading("Limits"),
    ...model.items.notes.filter(({ item }) => item.about === "cannot-tell").map(({ item }) =>
      paragraph(item.text)
    ),
    paragraph("Results are averages of groups; they do not say what is best for one patient."),
    heading("Discussion"),
    paragraph("For the authors to write."),
    heading("References"),
    ...works.map((key, index) => paragraph(`${index + 1}. ${workText(key)}`)),
    new Paragraph({ children: [new PageBreak()] }),
  ];
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

/** Works numbered in the order in which the text first names them. */
function citations({ methods }: MethodsUsed) {
  const ordered = Object.keys(methodAreas).flatMap((area) =>
    methods.filter((method) => method.area === area)
  );
  const works = [...new Set(ordered.flatMap(({ sources }) => sources))];
  const cite = (sources: readonly typeof works[number][]) =>
    sources.length === 0
      ? ""
      : ` [${sources.map((key) => works.indexOf(key) + 1).sort((a, b) => a - b).join(", ")}]`;
  return { works, cite };
}

function picture(
  { item }: Placed<FigureItem>,
  index: number,
  pictures: ReadonlyMap<string, Uint8Array<ArrayBuffer>>,
): Paragraph[] {
  const data = pictures.get(item.id);
  const size = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(item.svg)?.slice(1).map(Number);
  const [across = 0, down = 0] = size ?? [];
  if (!data || !(across > 0 && down > 0)) return [];
  // as wide as the text, unless it would be taller than the page
  const width = Math.min(600, 860 * across / down);
  return [
    new Paragraph({
      pageBreakBefore: true,
      keepNext: true,
      children: [run(`Figure ${index + 1}`, { bold: true })],
    }),
    new Paragraph({
      children: [
        new ImageRun({
          type: "png",
          data,
          transformation: { width: Math.round(width), height: Math.round(width * down / across) },
          altText: { name: item.id, title: item.title, description: item.alt },
        }),
      ],
    }),
  ];
}

type Level = typeof HeadingLevel[keyof typeof HeadingLevel];

function heading(words: string, level: Level = HeadingLevel.HEADING_1): Paragraph {
  const size = level === HeadingLevel.HEADING_1 ? 26 : 22;
  return new Paragraph({
    heading: level,
    keepNext: true,
    spacing: { before: 240, after: 80 },
    children: [run(words, { bold: true, color: "000000", size })],
  });
}

function paragraph(words: string, lead = ""): Paragraph {
  return new Paragraph({
    spacing: { after: 120, line: 320 },
    children: [...(lead ? [run(lead, { bold: true })] : []), run(words, {})],
  });
}
