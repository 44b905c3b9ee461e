import { strFromU8, strToU8, unzipSync, zipSync } from "fflate";
import { learnCounts } from "../../disclosure/solver/mod.ts";
import type { ReportContents } from "../output/mod.ts";
import { reproducible } from "../word-file/mod.ts";
import {
  type Facts,
  Gathered,
  Notes,
  placeText,
  type ReaderKnows,
  readSentence,
  type SaidSentence,
} from "../reading/mod.ts";
import { limitsOf } from "./limits.ts";
import { placesToWithhold, type Told, withoutTexts } from "./withhold.ts";
import { withoutSentences } from "./without-sentences.ts";

/** What is known of the runs when their documents are written. */
export interface RunsRead {
  facts: Facts;
  said: Gathered;
  knows: ReaderKnows;
}

/** What came of reading the documents. */
export interface DocumentsRead {
  /** Sentences that stand in no run. */
  sentences: number;
  /** Those to be taken out of every document. */
  withheld: SaidSentence[];
  /** Counts that can be worked out all the same. */
  pinned: string[];
}

/**
 * Reads the sentences that the documents alone have, with all that the runs show, and says which of
 * them give a count of too few away.
 */
export function readDocuments(
  contents: ReportContents,
  { facts, said, knows }: RunsRead,
): DocumentsRead {
  const own = new Gathered();
  for (const [path, content] of contents) {
    const text = textOf(path, content);
    if (text !== undefined) own.take(text, path, said);
  }
  const notes = new Notes(knows);
  for (const sentence of own.sentences) readSentence(sentence, notes);
  const read = { sentences: own.sentences.length, withheld: [], pinned: [] };
  if (notes.clues.length === 0) return read;
  const before = facts.clues.length;
  let told: Told = {
    clues: [...facts.clues, ...notes.clues],
    supposed: [...facts.supposed, ...notes.supposed],
  };
  const learn = (protect: readonly string[], { clues, supposed }: Told) =>
    learnCounts(clues, { ...limitsOf({ clues, supposed }, knows), protect }).counts
      .filter(({ pinned }) => pinned).map(({ count }) => count);
  // what was open before these sentences may be so no more
  const touched = new Set(
    told.clues.slice(before).flatMap(({ parts }) => parts.map(({ count }) => count)),
  );
  const protect = [...notes.protect, ...[...facts.protect].filter((name) => touched.has(name))];
  const withheld: SaidSentence[] = [];
  for (const count of learn(protect, told)) {
    const isOpen = (some: Told) => learn([count], some).length === 0;
    if (isOpen(told)) continue;
    const places = placesToWithhold(count, { ...facts, ...told, places: notes.places }, isOpen);
    told = withoutTexts(told, places.map(placeText));
    withheld.push(...places.flatMap((place) => "sentence" in place ? [place.sentence] : []));
  }
  return { ...read, withheld, pinned: withheld.length === 0 ? [] : learn(protect, told) };
}

/** Documents without some sentences. */
export function withoutFromDocuments(
  contents: ReportContents,
  sentences: readonly SaidSentence[],
): ReportContents {
  const texts = sentences.map(({ text }) => text);
  const without = (path: string, content: string | Uint8Array<ArrayBuffer>) => {
    if (typeof content === "string") return withoutSentences(content, texts);
    if (!path.endsWith(".docx")) return content;
    const parts = unzipSync(content);
    const body = parts[documentBody];
    if (!body) return content;
    parts[documentBody] = strToU8(withoutSentences(strFromU8(body), texts));
    return reproducible(new Uint8Array(zipSync(parts)));
  };
  return new Map([...contents].map(([path, content]) => [path, without(path, content)]));
}

const documentBody = "word/document.xml";

/**
 * What a reader sees of a document, a line a paragraph; undefined for data, which are read as such.
 */
function textOf(path: string, content: string | Uint8Array<ArrayBuffer>): string | undefined {
  if (path.endsWith(".html") && typeof content === "string") return textOfMarkup(content);
  if (path.endsWith(".txt") && typeof content === "string") return content;
  if (!path.endsWith(".docx") || typeof content === "string") return undefined;
  const body = unzipSync(content, { filter: ({ name }) => name === documentBody })[documentBody];
  return body && textOfMarkup(strFromU8(body));
}

const withinALine =
  /<\/?(?:a|b|i|em|strong|span|sup|sub|small|abbr|button|mark|w:r|w:t|w:rPr|w:b|w:i|w:vertAlign|w:hyperlink)\b[^>]*>/g;

function textOfMarkup(markup: string): string {
  return markup.replace(/<(style|script|pre|code|svg|table|math|w:tbl)\b[\s\S]*?<\/\1>/g, "\n\n")
    .replace(withinALine, "")
    .replace(/<[^>]+>/g, "\n\n")
    .replace(/&nbsp;|&#xA0;/g, " ").replace(/&lt;/g, "<").replace(/&gt;/g, ">")
    .replace(/&(?:apos|#39|#x27);/g, "'").replace(/&quot;/g, '"').replace(/&amp;/g, "&");
}
