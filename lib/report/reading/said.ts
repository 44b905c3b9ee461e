import type { CellOutput, NotebookRun } from "../notebooks/mod.ts";
import type { SaidSentence } from "./facts.ts";

/**
 * Every sentence of a run that a reader sees: prose, captions, notes, remarks, what was printed.
 */
export function sentencesOfRuns(runs: readonly NotebookRun[]): Gathered {
  const gathered = new Gathered();
  for (const { notebook, outputs } of runs) {
    notebook.cells.forEach((cell, k) => {
      if (cell.cell_type === "markdown") {
        gathered.take(cell.source, `${notebook.id}, text ${k + 1}`);
      }
    });
    outputs.forEach((cell, k) =>
      cell.forEach((output) =>
        takeOutput(output, { of: `${notebook.id}, shown ${k + 1}`, gathered })
      )
    );
  }
  return gathered;
}

/** Sentences of texts, each once. */
export class Gathered {
  readonly sentences: SaidSentence[] = [];
  readonly #seen = new Set<string>();

  /** @param unless Whose sentences are passed over. */
  take(text: string, of: string, unless?: Gathered): void {
    for (const [k, sentence] of sentencesOf(text).entries()) {
      if (this.#seen.has(sentence) || unless?.has(sentence)) continue;
      this.#seen.add(sentence);
      this.sentences.push({ text: sentence, of, at: k + 1 });
    }
  }

  has(sentence: string): boolean {
    return this.#seen.has(sentence);
  }
}

/** A text taken apart where a sentence or a paragraph ends. */
export function sentencesOf(text: string): string[] {
  return text.split(/(?<=[.?!])\s+|\n\s*\n/).map((one) => one.replace(/\s+/g, " ").trim())
    .filter((one) => one !== "");
}

/** What was printed line by line is to be read so. */
function eachLine(text: string): string {
  return text.replaceAll("\n", "\n\n");
}

function takeOutput(
  output: CellOutput,
  { of, gathered }: { of: string; gathered: Gathered },
): void {
  if (output.type === "stream") gathered.take(eachLine(output.text), of);
  if (output.type === "error") gathered.take(output.message, of);
  if (output.type === "stream" || output.type === "error") return;
  const { item, bundle } = output;
  switch (item?.kind) {
    case "table":
    case "figure": {
      const notes = item.kind === "table" ? item.notes ?? [] : [item.alt];
      for (const text of [item.title, item.caption, ...notes]) {
        gathered.take(text, `${item.kind} ${item.id}`);
      }
      break;
    }
    case "note":
      gathered.take(item.text, `note ${item.id}`);
      break;
    default:
      for (const type of ["text/markdown", "text/plain", "text/html"]) {
        const text = bundle[type];
        if (typeof text === "string") {
          gathered.take(type === "text/html" ? text.replace(/<[^>]+>/g, "\n\n") : text, of);
          break;
        }
      }
  }
}
