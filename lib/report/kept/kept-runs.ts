import { z } from "zod";
import { writeOwnFile } from "../../study/file/mod.ts";
import { shownItemSchema } from "../items/mod.ts";
import { basename, dirname, join, type KeptRuns, type NotebookRun } from "../notebooks/mod.ts";
import { sha256, type Snapshot } from "../snapshot/mod.ts";

/** All that a notebook's results follow from, but for the notebook itself. */
export interface Ingredients
  extends Pick<Snapshot, "files" | "hashes" | "beside" | "library" | "lock"> {
  /** Whether the compiler looks at notebooks before they run. */
  typeCheck?: boolean;
  /** Width of the second drawing of each figure, where there is one. */
  wideWidth?: number;
}

/**
 * Results kept from earlier runs into a report's folder, in `.NAME.kept` beside it, which only its
 * owner may enter: one file for each notebook that ended well.
 *
 * A result is used again where the notebook, the files beside it, the study file, the tables, the
 * library, the packages and Deno are the same to the byte, so that it would come out the same. What
 * cannot be read, or was changed, is as if it were not there.
 *
 * @param folder The report's.
 * @param options.fresh Uses none of those kept; keeps the new ones.
 */
export function keptRuns(
  folder: string,
  { ingredients, fresh = false }: { ingredients: Ingredients; fresh?: boolean },
): KeptRuns {
  const keep = join(dirname(folder), `.${basename(folder)}.kept`);
  const { files, hashes, beside, library, lock, typeCheck = true, wideWidth } = ingredients;
  const shared = [
    format,
    Deno.version.deno,
    ...files.map(({ role, sha256 }) => `${role} ${sha256}`),
    ...[...beside].map(([name, sha256]) => `${name} ${sha256}`),
    library,
    lock,
    `${typeCheck} ${wideWidth}`,
  ];
  const keyOf = (id: string) => sha256([...shared, `${hashes.get(id)}`].join("\n"));
  const pathOf = (id: string) => join(keep, `${id}.json`);
  return {
    async find(notebook) {
      if (fresh || !hashes.has(notebook.id)) return undefined;
      const text = await Deno.readTextFile(pathOf(notebook.id)).catch(() => "");
      const [key, hash, ...rest] = text.split("\n");
      const content = rest.join("\n");
      if (key !== keyOf(notebook.id) || hash !== sha256(content)) return undefined;
      const result = resultSchema.safeParse(JSON.parse(content));
      if (!result.success) return undefined;
      return { notebook, failure: undefined, ...result.data, kept: true };
    },
    async seconds({ id }) {
      const text = await Deno.readTextFile(pathOf(id)).catch(() => "");
      try {
        const told = JSON.parse(text.split("\n").slice(2).join("\n"));
        return z.number().positive().safeParse(told?.seconds?.total).data;
      } catch {
        return undefined;
      }
    },
    async keep({ notebook, failure, outputs, stopped, seconds }: NotebookRun) {
      if (failure || !hashes.has(notebook.id)) return;
      const content = JSON.stringify({ outputs, stopped, seconds });
      await Deno.mkdir(keep, { recursive: true, mode: 0o700 });
      const whole = [keyOf(notebook.id), sha256(content), content].join("\n");
      await writeOwnFile(pathOf(notebook.id), whole);
    },
  };
}

/** Counts up whenever the shape of what is kept changes. */
const format = "kept runs 2";

const shown = {
  bundle: z.record(z.string(), z.unknown()),
  item: shownItemSchema.optional(),
  unreadable: z.string().optional(),
};

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
  stopped: z.int().positive().optional(),
  seconds: z.object({ start: z.number(), total: z.number(), cells: z.array(z.number()) }),
});
