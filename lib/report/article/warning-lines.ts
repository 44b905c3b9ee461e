import { uncapitalized } from "../../words/mod.ts";
import type { ReportModel } from "../model/mod.ts";

/** As many subjects are named on the first page; the supplement has every warning whole. */
const mostNamed = 4;

/** What the warnings are about, in a line, so that none is missed. */
export function warningLines({ items }: ReportModel): string[] {
  const raised = items.notes.filter(({ item }) => item.about === "warning");
  if (raised.length === 0) return [];
  const subjects = subjectsOf(raised.map(({ item }) => item.text));
  const named = subjects.slice(0, mostNamed);
  if (subjects.length > named.length) named.push(`${subjects.length - named.length} more`);
  const count = raised.length === 1 ? "1 warning" : `${raised.length} warnings`;
  return [`${count}, whole in the supplement: ${named.join("; ")}.`];
}

/** Each subject once: what differs in its numbers alone is one warning raised again. */
function subjectsOf(texts: readonly string[]): string[] {
  const subjects = new Map<string, string>();
  for (const text of texts) {
    const subject = subjectOf(text);
    const kind = subject.replace(/[\d.,]+/g, "#");
    if (!subjects.has(kind)) subjects.set(kind, subject);
  }
  return [...subjects.values()];
}

const longest = 80;

/** The first clause of a warning, cut at a word where it is long. */
function subjectOf(text: string): string {
  const [clause = text] = text.split(/[:;](?=\s)|[.](?=\s|$)|, (?:as|because|so|which) /);
  const first = uncapitalized(clause.trim());
  if (first.length <= longest) return first;
  const cut = first.slice(0, longest);
  return `${cut.slice(0, Math.max(cut.lastIndexOf(" "), longest / 2)).trimEnd()} …`;
}
