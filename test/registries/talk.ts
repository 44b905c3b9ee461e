import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { conversation, converse } from "../../lib/cohort/begin/mod.ts";
import type { DerivedRule, MappedSource } from "../../lib/study/mapping/mod.ts";

/** Rows of a table, by heading. */
export type Rows = Record<string, string | number>[];

/** What a conversation about small invented files came to. */
export interface Talked {
  /** Ids of what was asked. */
  asked: string[];
  /** What was shown with each question, by its id. */
  texts: Record<string, string>;
  /** The answer that each question proposed, by its id. */
  proposals: Record<string, string | undefined>;
  study: {
    mapping: {
      patients: Record<string, MappedSource>;
      visits: Record<string, MappedSource>;
      derived: { patients: DerivedRule[]; visits: DerivedRule[] };
    };
    export: { cohort: { header?: number[]; id: string; decimal?: string; fillDown: string[] } };
  };
  /** Every answer that is kept. */
  kept: Readonly<Record<string, string>>;
}

/** How a person, or nobody, goes through a conversation. */
interface Manner {
  /** Answers by id; everything else is agreed to, or left open where nothing is proposed. */
  answers?: Record<string, string>;
  /** Nobody is there: nothing but these answers is given. */
  silent?: boolean;
  /** Answers of another time. */
  before?: Readonly<Record<string, string>>;
}

/** Takes tables through the conversation: rows, or the text or bytes of a file. */
export async function talkOver(
  tables: { patients: Rows | string | Uint8Array; visits?: Rows | string | Uint8Array },
  { answers = {}, silent = false, before = {} }: Manner = {},
): Promise<Talked> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  const write = async (name: string, table: Rows | string | Uint8Array) => {
    const path = join(folder, name);
    const content = Array.isArray(table) ? stringify(table, { header: true }) : table;
    const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
    await Deno.writeFile(path, bytes);
    return path;
  };
  try {
    const cohort = await write("patients", tables.patients);
    const visits = tables.visits ? await write("visits", tables.visits) : "none";
    const asked: string[] = [];
    const texts: Record<string, string> = {};
    const proposals: Record<string, string | undefined> = {};
    const talk = conversation(
      ({ id, lines, proposal, trouble }) => {
        if (trouble) throw new Error(`${id}: ${trouble}`);
        asked.push(id);
        texts[id] = lines.join("\n");
        proposals[id] = proposal;
        const agreed = silent || proposal === undefined ? undefined : "";
        return Promise.resolve(answers[id] ?? agreed);
      },
      before,
      () => Promise.resolve(),
    );
    const { study } = await converse(talk, () => {}, { cohort, visits });
    return {
      asked,
      texts,
      proposals,
      study: study as unknown as Talked["study"],
      kept: talk.answers,
    };
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}
