import { headlineFindings } from "../show/mod.ts";
import type {
  FigureItem,
  FindingItem,
  NoteItem,
  Placed,
  ReportModel,
  TableItem,
} from "../model/mod.ts";
import { type ArticleSection, articleSections, frontTables } from "./sections.ts";

/** A section of the article with the items of a run that go into it. */
export interface FilledSection {
  section: ArticleSection;
  findings: Placed<FindingItem>[];
  notes: Placed<NoteItem>[];
  figure: Placed<FigureItem> | undefined;
  table: Placed<TableItem> | undefined;
  /** The same figure under other designs, to be switched to. */
  versions: Placed<FigureItem>[];
}

/** The sections of a run's article, each with its items; a section without any is left out. */
export function filledSections(
  model: ReportModel,
  sections: readonly ArticleSection[] = articleSections,
): FilledSection[] {
  const taken = new Set<string>([
    ...sections.flatMap(({ figures = [], tables = [], notes = [] }) => [
      ...figures,
      ...tables,
      ...notes,
    ]),
    ...frontTables,
  ]);
  return sections.map((section) => filled(section, model, taken))
    .filter(({ findings, notes, figure, table }) =>
      findings.length + notes.length > 0 || figure !== undefined || table !== undefined
    );
}

/** The main findings of a run, in order, where they were recorded. */
export function mainFindings({ items, study }: ReportModel): Placed<FindingItem>[] {
  const placed = new Map(items.findings.map((entry) => [entry.item, entry]));
  return headlineFindings(items.findings.map(({ item }) => item), study.estimand)
    .map((item) => placed.get(item)).filter((entry) => entry !== undefined);
}

function filled(
  section: ArticleSection,
  model: ReportModel,
  taken: ReadonlySet<string>,
): FilledSection {
  const { items } = model;
  const { endpoints = [], notebooks = [] } = section;
  const findings = [...mainFindings(model), ...others(model)]
    .filter(({ item }) => endpoints.includes(item.endpoint))
    .filter(({ item }, i, all) =>
      all.findIndex((one) => one.item.endpoint === item.endpoint) === i
    );
  const [main] = findings;
  const answers = ({ notebook, item }: Placed) =>
    notebooks.some((word) => notebook.includes(word)) && !taken.has(item.id);
  const first = <Item extends FigureItem | TableItem>(
    list: readonly Placed<Item>[],
    ids: readonly (string | undefined)[],
  ) =>
    ids.map((id) => list.find(({ item }) => item.id === id)).find((placed) => placed) ??
      list.find(answers);
  const figure = first(items.figures, [main?.item.figureId, ...section.figures ?? []]);
  const named = (section.notes ?? []).flatMap((id) =>
    items.notes.filter(({ item }) => item.id === id)
  );
  const summaries = items.notes.filter((placed) =>
    placed.item.about === "summary" && answers(placed)
  );
  return {
    section,
    findings,
    notes: named.length > 0 ? named : summaries.slice(0, 1),
    figure,
    table: first(items.tables, [main?.item.tableId, ...section.tables ?? [], figure?.item.tableId]),
    versions: items.figures.filter((other) =>
      other !== figure && figure?.item.version && other.item.version?.of === figure.item.version.of
    ),
  };
}

/** Findings that are not on the first screen, adjusted ones first. */
function others({ items }: ReportModel): Placed<FindingItem>[] {
  return [...items.findings].sort((a, b) =>
    Number(a.item.design === "unadjusted") - Number(b.item.design === "unadjusted")
  );
}
