import { resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs, type ParseArgsConfig } from "node:util";

/**
 * Options by name, as `parseArgs` of `node:util` takes them; `--help` is there without being named.
 */
export type CommandOptions = NonNullable<ParseArgsConfig["options"]>;

/** The study file and its tables, for commands that read them all. */
export const studyOptions = {
  study: { type: "string" },
  cohort: { type: "string" },
  visits: { type: "string" },
} as const satisfies CommandOptions;

/** How a command is called. */
export interface CommandSpec<O extends CommandOptions> {
  /** Printed for `--help`, and where the options are wrong. */
  usage: string;
  options: O;
  /** How many arguments without a name it takes; default none. */
  positionals?: number;
}

/** The values of a command's options, and its arguments without a name. */
export type CommandLine<O extends CommandOptions> = Pick<
  ReturnType<
    typeof parseArgs<
      { options: O & { help: { type: "boolean"; short: "h" } }; allowPositionals: true }
    >
  >,
  "values" | "positionals"
>;

/**
 * Reads the options of a command. A `--` that a task runner passes on is left out.
 *
 * @returns What was asked for; or the exit code, once the usage was printed: 0 where it was asked
 * for, 2 where an option is wrong or an argument is missing.
 */
export function commandLine<const O extends CommandOptions>(
  args: readonly string[],
  { usage, options, positionals = 0 }: CommandSpec<O>,
): CommandLine<O> | { code: 0 | 2 } {
  standWhereTheUserDoes();
  let line: CommandLine<O>;
  try {
    line = parseArgs({
      args: args.filter((arg) => arg !== "--"),
      options: { ...options, help: { type: "boolean" as const, short: "h" as const } },
      allowPositionals: true as const,
    });
  } catch (error) {
    console.error(`${error instanceof Error ? error.message : "Wrong options"}\n\n${usage}`);
    return { code: 2 };
  }
  if ("help" in line.values && line.values.help === true) {
    console.log(usage);
    return { code: 0 };
  }
  if (line.positionals.length === positionals) return line;
  const [first] = line.positionals.slice(positionals);
  const what = first === undefined
    ? `${positionals} arguments are needed`
    : `Unexpected argument "${first}"`;
  console.error(`${what}\n\n${usage}`);
  return { code: 2 };
}

/**
 * A task stands in the project's folder, wherever it was called from: a relative path is one from
 * where the user stands, which the task runner passes on.
 */
function standWhereTheUserDoes(): void {
  const variable = "INIT_CWD";
  if (Deno.permissions.querySync({ name: "env", variable }).state !== "granted") return;
  const folder = Deno.env.get(variable);
  const project = fileURLToPath(new URL("../../../", import.meta.url));
  if (folder && resolve(Deno.cwd()) === resolve(project)) Deno.chdir(folder);
}
