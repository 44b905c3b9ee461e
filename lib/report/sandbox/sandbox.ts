import { relative } from "node:path";
import { fileURLToPath } from "node:url";

/** What a process may touch. Everything not listed it may not. */
export interface SandboxOptions {
  /** Files and folders it may read. */
  read: readonly string[];
  /** Folders it may write to: none for a notebook. */
  write?: readonly string[];
  /** Where it stands, so that nothing hangs on where the user does. */
  folder?: string;
  /** A Deno folder in place of the user's own. */
  cache?: string;
  /** What is said to the engine, such as that memory matters more than time. */
  engine?: readonly string[];
  /** Whether it is told something on its standard input. */
  listens?: boolean;
}

const root = new URL("../../../", import.meta.url);

/** The project's folder, as a path. */
export const projectFolder: string = fromFileUrl(root);

/** The study of a run that names none. */
export const demoStudy: string = fromFileUrl(new URL("data-demo/study.json", root));

/**
 * What a process may read of the project: its library and how packages are found; not `out`, where
 * the results of other studies lie.
 */
export const readableOfProject: readonly string[] = ["lib", "deno.json", "deno.lock"]
  .map((name) => fromFileUrl(new URL(name, root)));

/**
 * Arguments that resolve modules as the project does and never reach the network to do so: an
 * import of a web address, or of a package that is not in the cache and the lock file, fails.
 *
 * @param config Settings in place of the project's.
 */
export function resolution(config: string = fromFileUrl(new URL("deno.json", root))): string[] {
  return [
    `--config=${config}`,
    `--lock=${fromFileUrl(new URL("deno.lock", root))}`,
    "--frozen",
    "--cached-only",
    "--no-remote",
    "--deny-import",
    "--no-prompt",
    "--quiet",
  ];
}

/** The command that runs a script, which must be the project's own, inside the sandbox. */
export function sandboxCommand(
  script: URL,
  args: readonly string[],
  options: SandboxOptions,
): Deno.Command {
  return new Deno.Command(Deno.execPath(), {
    args: [
      "run",
      "--no-check",
      ...resolution(),
      ...engineFlags(options.engine ?? []),
      ...permission("read", options.read, options.folder),
      ...permission("write", options.write ?? [], options.folder),
      "--deny-net",
      "--deny-env",
      "--deny-run",
      "--deny-ffi",
      "--deny-sys",
      script.href,
      ...args,
    ],
    ...(options.folder !== undefined && { cwd: options.folder }),
    clearEnv: true,
    env: denoEnvironment(options.cache),
    stdin: options.listens ? "piped" : "null",
    stdout: "piped",
    stderr: "piped",
  });
}

/** What is said to the engine, as an argument. */
export function engineFlags(flags: readonly string[]): string[] {
  return flags.length === 0 ? [] : [`--v8-flags=${flags.join(",")}`];
}

function permission(
  kind: "read" | "write",
  paths: readonly string[],
  folder: string | undefined,
): string[] {
  if (paths.length === 0) return [];
  return [`--allow-${kind}=${paths.map((path) => withoutComma(path, folder)).join(",")}`];
}

/**
 * A comma ends a path where rights are given, and there is no other way to write one: a path that
 * has one is given from where the process stands, with which it usually shares the part with the
 * comma.
 */
function withoutComma(path: string, folder: string | undefined): string {
  if (!path.includes(",")) return path;
  const near = folder === undefined ? path : relative(folder, path) || ".";
  if (!near.includes(",")) return near;
  throw new Error(
    `Cannot run notebooks: no right to read ${path} can be given, for its name has a comma; ` +
      "rename the folder, or write the report to a folder beside it",
  );
}

/**
 * Only what Deno itself needs to find its cache and the system its programs. The child cannot read
 * even these.
 */
export function denoEnvironment(cache?: string): Record<string, string> {
  const environment: Record<string, string> = {
    NO_COLOR: "1",
    DENO_NO_UPDATE_CHECK: "1",
    // the same hours everywhere
    TZ: "UTC",
    // on Linux: what a long column took goes back to the system once it is let go (mallopt(3))
    MALLOC_MMAP_THRESHOLD_: String(2 ** 20),
    MALLOC_TRIM_THRESHOLD_: String(2 ** 22),
  };
  const kept = [
    "DENO_DIR",
    "PATH",
    "HOME",
    "XDG_CACHE_HOME",
    "USERPROFILE",
    "LOCALAPPDATA",
    "SystemRoot",
    "TMPDIR",
    "TEMP",
    "TMP",
  ];
  for (const name of kept) {
    const value = Deno.env.get(name);
    if (value !== undefined) environment[name] = value;
  }
  if (cache !== undefined) environment.DENO_DIR = cache;
  return environment;
}

/** A file URL as a path of this system. */
export function fromFileUrl(url: URL | string): string {
  return fileURLToPath(url);
}
