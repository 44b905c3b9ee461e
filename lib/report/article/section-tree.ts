import {
  anchorOf,
  figureTree,
  notebookTitle,
  type Place,
  sentenceTree,
  tableItemTree,
} from "../page/mod.ts";
import { verdictSentence } from "../show/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";
import type { FilledSection } from "./choose.ts";
import { appliesTo } from "./front.ts";
import { shortTable } from "./short-table.ts";

/** One section of the article: its finding as heading, one paragraph, one figure, one table. */
export function sectionTree(filled: FilledSection, place: Place): Element {
  const { section, findings, figure, table, versions } = filled;
  return h(
    "section.part",
    { id: section.id, ariaLabelledBy: `${section.id}-finding` },
    h(
      "div.head",
      {},
      h("p.topic", {}, section.topic),
      h("h2", { id: `${section.id}-finding` }, headingOf(filled)),
    ),
    h(
      "div.body",
      { class: figure && "beside" },
      h("div.words", {}, paragraphsOf(filled, place), moreTree(filled, place)),
      figure && figureTree(figure, place),
      // kept apart from the page until the reader asks for another design
      versions.length > 0 &&
        versionsTree(filled, place),
      table && tableItemTree(shortTable(table, section.shortened), place),
    ),
    findings.map(({ item }) => h("a.anchor", { id: anchorOf(item) })),
  );
}

/** The figure under other designs, under the number of the one that is shown. */
function versionsTree({ figure, versions }: FilledSection, place: Place): Element {
  const nameOf: Place["nameOf"] = (placed) =>
    place.nameOf(placed.item.kind === "figure" && figure ? figure : placed);
  return h(
    "template.versions",
    {},
    versions.map((version) => figureTree(version, { ...place, nameOf })),
  );
}

/** What the section found, in one sentence; its topic where nothing was put into one. */
export function headingOf({ section, findings, notes, figure, table }: FilledSection): string {
  const [finding] = findings;
  if (finding) return verdictSentence(finding.item);
  const [first] = sentencesOf(notes[0]?.item.text ?? "");
  return first ?? figure?.item.title ?? table?.item.title ?? section.topic;
}

/** A text's sentences; a point within a number or an abbreviation ends none. */
function sentencesOf(text: string): string[] {
  return text.split(/(?<=\p{L}{2}\)?[.!?])\s+(?=\p{Lu}|\d)|(?<=[\d%]\)?\.)\s+(?=\p{Lu})/u)
    .filter((sentence) => sentence !== "");
}

/** A text without its first sentence, its paragraphs as they were. */
function withoutFirst(text: string): string {
  const [first = "", ...others] = text.split("\n\n");
  return [sentencesOf(first).slice(1).join(" "), ...others].join("\n\n");
}

/** A paragraph for each finding, and others for what else is to be said: no sentence twice. */
function paragraphsOf(filled: FilledSection, place: Place): Element[] {
  const { findings, notes } = filled;
  const [summary] = findings.length > 0 ? [] : notes; // its first sentence is the heading
  const told = findings.map(({ item }, i) => {
    const applies = appliesTo(item);
    const next = findings[i + 1];
    return [
      i > 0 && `${verdictSentence(item)} `,
      sentenceTree(item, place),
      // once, where it ends: findings of one design stand together
      (!next || appliesTo(next.item) !== applies) && ` ${applies}`,
    ];
  });
  const rest = [
    ...summary ? [withoutFirst(summary.item.text)] : [],
    ...notes.filter((note) => note !== summary).map(({ item }) => item.text),
  ].join("\n\n").split("\n\n").map((text) => text.trim()).filter((text) => text !== "");
  return [...told, ...rest].map((content) => h("p", {}, content));
}

/** Where the rest of what was worked out for this section stands. */
function moreTree({ findings, notes, figure, table }: FilledSection, place: Place): Content {
  const notebooks = new Set(
    [...findings, ...notes, figure, table].flatMap((placed) => placed?.notebook ?? []),
  );
  return h(
    "p.more",
    {},
    "More in the supplement: ",
    [...notebooks].map((notebook, i) => [
      i > 0 && ", ",
      h("a", { href: place.href(`notebook-${notebook}`) }, notebookTitle(place.model, notebook)),
    ]),
    ".",
  );
}
