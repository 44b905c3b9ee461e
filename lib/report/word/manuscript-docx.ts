import { HeadingLevel, ImageRun, PageBreak, Paragraph } from "docx";
import type { FigureItem } from "../model/mod.ts";
import type { Draft } from "../manuscript/mod.ts";
import type { WrittenDocument } from "../word-file/mod.ts";
import { wordDocument, type WordParts } from "./word-document.ts";
import { figureLegend, pageOf, run, tableBlock, upright } from "./word-table.ts";

/**
 * The draft of an article as a Word document, in the order in which journals want it: title,
 * summary, methods, results, limits, references, then tables, legends and figures. Every number of
 * the results is a finding's, a note's or a table's; what only authors can write is left to them,
 * and said so. The same run gives the same bytes.
 *
 * @param ready Pictures of its figures, by their ids, and tables of an earlier one.
 */
export function manuscriptDocx(
  draft: Draft,
  { pictures = new Map(), tables: written }: WordParts,
): Promise<WrittenDocument> {
  const { study, tables, figures } = draft;
  return wordDocument(study, (placed) => [
    { properties: upright, children: text(draft) },
    ...tables.map((item, index) => ({
      properties: pageOf(item),
      children: tableBlock(item, index + 1, placed),
    })),
    ...(figures.length > 0
      ? [{
        properties: upright,
        children: [
          heading("Figure legends"),
          ...figures.map((item, index) => figureLegend(item, index + 1)),
          ...figures.flatMap((item, index) => picture(item, index, pictures)),
        ],
      }]
      : []),
  ], { pictures, tables: written });
}

function text(draft: Draft): Paragraph[] {
  const { study, methods, works, sections, limits, tables } = draft;
  return [
    new Paragraph({
      heading: HeadingLevel.TITLE,
      children: [run(study.title, { bold: true, size: 32, color: "000000" })],
    }),
    paragraph(`${study.centre}. Draft written by rule from one run; its authors answer for it.`),
    heading("Summary"),
    paragraph(`Question. ${study.question}`),
    paragraph(`Results. ${draft.results}`),
    paragraph(`Conclusion. ${draft.conclusion}`),
    heading("Introduction"),
    paragraph("For the authors to write: the program knows the question only."),
    heading("Methods"),
    ...draft.plan.map(([term, words]) => paragraph(words, `${term}. `)),
    paragraph(
      `Table ${tables.length} writes out the randomised trial that the cohort takes the place of.`,
    ),
    ...methods.flatMap((
      { area, words },
    ) => [heading(area, HeadingLevel.HEADING_2), paragraph(words)]),
    heading("Results"),
    ...sections.flatMap(({ topic, words }) => [
      heading(topic, HeadingLevel.HEADING_2),
      paragraph(words),
    ]),
    heading("Limits"),
    ...limits.map((limit) => paragraph(limit)),
    paragraph("Results are averages of groups; they do not say what is best for one patient."),
    heading("Discussion"),
    paragraph("For the authors to write."),
    heading("References"),
    ...works.map((work, index) => paragraph(`${index + 1}. ${work}`)),
    new Paragraph({ children: [new PageBreak()] }),
  ];
}

function picture(
  item: FigureItem,
  index: number,
  pictures: ReadonlyMap<string, Uint8Array<ArrayBuffer>>,
): Paragraph[] {
  const size = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(item.svg)?.slice(1).map(Number);
  const [across = 0, down = 0] = size ?? [];
  if (!pictures.has(item.id) || !(across > 0 && down > 0)) return [];
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
          data: new TextEncoder().encode(item.id), // the picture is put in afterwards
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
