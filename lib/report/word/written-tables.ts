import { Paragraph, type Table } from "docx";
import type { TableBody } from "../items/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";
import type { WrittenTables } from "../word-file/mod.ts";

/**
 * The tables of one document, those that were written for an earlier one put in as they are: the
 * writer takes longest over cells, of which a report has thousands.
 */
export class TablesOfDocument {
  /** Those that the document has. */
  readonly used = new Map<string, string>();
  readonly #before: WrittenTables;
  /** Keys of those that the writer writes, in order. */
  readonly #new: string[] = [];

  /** @param before Tables of earlier documents. */
  constructor(before: WrittenTables) {
    this.#before = before;
  }

  /**
   * A table, or what stands for it until {@link whole}. Its place in the document is that of the
   * call among the calls.
   *
   * @param make Makes it, of its body alone.
   */
  place({ columns, rows }: TableBody, make: (body: TableBody) => Table): Table | Paragraph {
    const body = { columns, rows };
    const key = sha256(JSON.stringify(body));
    const written = this.#before.get(key);
    if (written === undefined) {
      this.#new.push(key);
      return make(body);
    }
    this.used.set(key, written);
    return new Paragraph(key);
  }

  /** The document's body with every table in it. */
  whole(body: string): string {
    let next = 0;
    for (const [written] of body.matchAll(/<w:tbl>.*?<\/w:tbl>/gs)) {
      const key = this.#new[next++];
      if (key !== undefined) this.used.set(key, written);
    }
    if (next !== this.#new.length) {
      throw new Error(`Word's writer wrote ${next} tables of ${this.#new.length}`);
    }
    return body.replaceAll(mark, (found, key: string) => this.used.get(key) ?? found);
  }
}

/** A paragraph that is a key and nothing else. */
const mark = /<w:p><w:r><w:t xml:space="preserve">([0-9a-f]{64})<\/w:t><\/w:r><\/w:p>/g;
