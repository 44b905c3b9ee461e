import { join } from "node:path";
import { version } from "typescript";
import { denoEnvironment, engineFlags, projectFolder, resolution } from "../sandbox/mod.ts";

/**
 * The command that lists, as JSON, every module that a script imports, itself and through others,
 * without running, checking or fetching any.
 */
export function graphCommand(script: string): Deno.Command {
  return compilerCommand([
    "info",
    "--json",
    `--config=${join(projectFolder, "deno.json")}`,
    "--no-lock",
    "--no-npm",
    "--no-remote",
    "--deny-import",
    script,
  ]);
}

/**
 * The command that type-checks modules without running any of them: the script given must import
 * their types only.
 *
 * @param config Settings in place of the project's.
 */
export function checkCommand(script: string, config?: string): Deno.Command {
  return compilerCommand([
    "run",
    "--check",
    ...resolution(config),
    ...engineFlags(compilerEngine),
    script,
  ]);
}

/**
 * The command that holds files against the settings of a folder with the compiler's own program,
 * which runs none of them. It takes a second where Deno's compiler takes four, and knows nothing of
 * where Deno finds packages: the settings say so.
 *
 * @param settings Path of the compiler's settings, which name the files.
 */
export function quickCheckCommand(settings: string): Deno.Command {
  const rights = ["--allow-read", "--allow-env", "--allow-run"];
  // the package only starts the program that belongs to this system
  const program = `npm:typescript@${version}/tsc`;
  return compilerCommand(["run", ...resolution(), ...rights, program, "--project", settings], {
    env: quickEngine,
  });
}

/**
 * The command that lays the packages named in a folder's settings out beside them, from the cache.
 */
export function packagesCommand(folder: string): Deno.Command {
  return compilerCommand(["install", "--quiet", "--cached-only", "--no-prompt"], { folder });
}

/** The command that prints the types of all that Deno itself gives. */
export function ownTypesCommand(): Deno.Command {
  return compilerCommand(["types"]);
}

/**
 * The command that checks files of TypeScript and declares their types, theirs and those of all
 * that they import, in a folder below the one it stands in, whose settings it takes.
 */
export function declareCommand(
  folder: string,
  files: readonly string[],
  out: string,
): Deno.Command {
  return compilerCommand(
    ["transpile", "--declaration", "--frozen", "--no-remote", "--outdir", out, ...files],
    { folder },
  );
}

/** A command that reads code and runs none. */
function compilerCommand(
  args: string[],
  { folder, env }: { folder?: string; env?: Record<string, string> } = {},
): Deno.Command {
  return new Deno.Command(Deno.execPath(), {
    args,
    ...(folder !== undefined && { cwd: folder }),
    clearEnv: true,
    env: { ...denoEnvironment(), ...env },
    stdin: "null",
    stdout: "piped",
    stderr: "piped",
  });
}

/**
 * The compiler runs for two seconds and lets most of what it makes stay: it ends sooner where the
 * engine neither works out faster code for it nor moves what it has made about.
 */
const compilerEngine = ["--no-opt", "--min-semi-space-size=128", "--max-semi-space-size=256"];

/** It is over before it pays to look for what is no longer needed. */
const quickEngine = { GOGC: "off", GOMEMLIMIT: "1GiB" };
