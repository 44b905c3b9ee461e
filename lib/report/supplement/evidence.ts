import { type ReportModel, tableOf } from "../model/mod.ts";

/** Where an item of the checklist is met, in whole or in part. */
export interface Evidence {
  /** Anchor on the page and the words of its link. */
  links: { anchor: string; text: string }[];
  /** What the item asks for that the report does not have; then it is met in part. */
  lacks?: string;
}

/** One item of the checklist with what was found. */
export interface ChecklistLine {
  /** Number in its list: `6a`, `R 6.1`. */
  item: string;
  asks: string;
  /** undefined: not met. */
  evidence: Evidence | undefined;
}

/** What a report has, as links of a checklist: each is empty where the thing is not there. */
export function evidenceIn({ items, methods }: ReportModel) {
  const used = new Set(methods.methods.map(({ id }) => id));
  const section = (anchor: string, text: string) => ({ anchor, text });
  const table = (...ids: string[]) =>
    ids.flatMap((id) => {
      const placed = tableOf(items, id);
      return placed ? [{ anchor: `table-${id}`, text: `table S${placed.number}` }] : [];
    });
  const figure = (...ids: string[]) =>
    items.figures.filter(({ item }) => ids.includes(item.id))
      .map(({ item, number }) => ({ anchor: `figure-${item.id}`, text: `figure S${number}` }));
  const method = (id: string, text: string) =>
    used.has(id) ? [{ anchor: `method-${id}`, text }] : [];
  const answer = items.findings.length > 0 ? [section("answer", "the answer")] : [];
  const tablesOfFindings = table(...new Set(items.findings.map(({ item }) => item.tableId)));
  const notes = (about: string) => items.notes.some(({ item }) => item.about === about);
  const line = (
    item: string,
    asks: string,
    links: Evidence["links"],
    lacks?: string,
  ): ChecklistLine => ({
    item,
    asks,
    evidence: links.length === 0 ? undefined : lacks ? { links, lacks } : { links },
  });
  return { used, section, table, figure, method, answer, tablesOfFindings, notes, line };
}
