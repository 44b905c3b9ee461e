import { z } from "zod";
import { writeOwnFile } from "../../study/file/mod.ts";
import { shownItemSchema } from "../items/mod.ts";
import { cellKeys } from "../cells/mod.ts";
import { type KeptFiles, keptFolder } from "./kept-files.ts";
import {
  codeOf,
  join,
  type KeptRuns,
  type Notebook,
  type NotebookRun,
  type RunParts,
} from "../notebooks/mod.ts";
import type { Snapshot } from "../snapshot/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";

/** All that a notebook's results follow from, but for the notebook itself. */
export interface Ingredients
  extends Pick<Snapshot, "files" | "hashes" | "beside" | "library" | "lock"> {
  /** Whether the compiler looks at notebooks before they run. */
  typeCheck?: boolean;
  /** Width of the second drawing of each figure, where there is one. */
  wideWidth?: number;
}

/** From what results follow, and what is kept with them. */
export interface KeptRunsOptions {
  ingredients: Ingredients;
  /** What pages are made from. */
  partsOf: (run: NotebookRun) => Promise<RunParts>;
  /** Where answers are kept. */
  kept: KeptFiles;
  /** Uses none of those kept; keeps the new ones. */
  fresh?: boolean;
}

/**
 * Results kept from earlier runs into a report's folder, in `.NAME.kept` beside it, which only its
 * owner may enter: one file for each notebook that ended well.
 *
 * A result is used again where the notebook, the files beside it, the study file, the tables, the
 * library, the packages and Deno are the same to the byte, so that it would come out the same.
 * Where the notebook alone differs, what its cells showed is told with what each follows from.
 * What cannot be read, or was changed, is as if it were not there.
 *
 * @param folder The report's.
 */
export function keptRuns(
  folder: string,
  { ingredients, partsOf, kept, fresh = false }: KeptRunsOptions,
): KeptRuns {
  const keep = keptFolder(folder);
  const { files, hashes, beside, library, lock, typeCheck = true, wideWidth } = ingredients;
  const shared = sha256([
    format,
    Deno.version.deno,
    ...files.map(({ role, sha256 }) => `${role} ${sha256}`),
    ...[...beside].map(([name, sha256]) => `${name} ${sha256}`),
    library,
    lock,
    `${typeCheck} ${wideWidth}`,
  ].join("\n"));
  const pathOf = (id: string) => join(keep, `${id}.json`);
  const answersOf = ({ id }: Notebook) => `answers of ${id}`;
  const texts = new Map<string, Promise<string>>();
  const read = ({ id }: Notebook) => {
    const text = texts.get(id) ?? Deno.readTextFile(pathOf(id)).catch(() => "");
    texts.set(id, text);
    return text;
  };
  return {
    async isKnown(notebook) {
      const [of, from] = (await read(notebook)).split("\n", 2);
      return !fresh && of === shared && from === hashes.get(notebook.id);
    },
    async find(notebook) {
      const [of, from, hash, content = ""] = (await read(notebook)).split("\n");
      texts.delete(notebook.id);
      const told = parsed(content);
      const lasted = secondsSchema.safeParse(told).data?.seconds.total;
      const isWhole = !fresh && of === shared && hash === sha256(`${from}\n${content}`);
      const { data } = resultSchema.safeParse(isWhole ? told : undefined);
      if (!data) return { lasted };
      const { outputs, keys, parts, stopped, seconds } = data;
      if (from !== hashes.get(notebook.id)) {
        return { lasted, cells: keys && { keys, outputs, seconds } };
      }
      const shown = { outputs, parts, stopped, seconds };
      return { run: { notebook, failure: undefined, ...shown, kept: true } };
    },
    async keep(run) {
      const { notebook, failure, outputs, stopped, seconds } = run;
      const file = hashes.get(notebook.id);
      if (failure || file === undefined) return;
      // of a notebook that stopped nobody knows what its other cells would show
      const keys = stopped === undefined ? cellKeys(codeOf(notebook))?.keys : undefined;
      // a drawing that no page can take is found out with the pages, which tell of it
      const parts = await partsOf(run).catch(() => undefined);
      if (!parts) return;
      const content = JSON.stringify({ outputs, keys, parts, stopped, seconds });
      await Deno.mkdir(keep, { recursive: true, mode: 0o700 });
      const whole = [shared, file, sha256(`${file}\n${content}`), content].join("\n");
      await writeOwnFile(pathOf(notebook.id), whole);
      // of code that may write into what it is handed they may be other than they were
      if (keys && run.answers) await kept.keep(answersOf(notebook), shared, run.answers);
    },
    answers: (notebook) => kept.find(answersOf(notebook), shared),
  };
}

/** A file of one's own making may have been damaged. */
function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** Counts up whenever the shape of what is kept changes. */
const format = "kept runs 9";

const shown = {
  bundle: z.record(z.string(), z.unknown()),
  item: shownItemSchema.optional(),
  unreadable: z.string().optional(),
};

const secondsSchema = z.object({ seconds: z.object({ total: z.number().positive() }) });

const resultSchema = z.object({
  outputs: z.array(z.array(z.discriminatedUnion("type", [
    z.object({
      type: z.literal("stream"),
      name: z.enum(["stdout", "stderr"]),
      text: z.string(),
    }),
    z.object({ type: z.literal("display"), ...shown }),
    z.object({ type: z.literal("result"), ...shown }),
    z.object({ type: z.literal("error"), name: z.string(), message: z.string() }),
  ]))),
  keys: z.array(z.string()).optional(),
  // made here, of what is kept beside it
  parts: z.custom<RunParts>((parts) => typeof parts === "object" && parts !== null),
  stopped: z.int().positive().optional(),
  seconds: z.object({ start: z.number(), total: z.number(), cells: z.array(z.number()) }),
});
