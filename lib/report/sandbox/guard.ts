import { fromFileUrl } from "./sandbox.ts";

/** Ends processes when the one that started them has ended, in whatever way. */
export interface Guard {
  /** From now on the process ends with this one. */
  watch(pid: number): void;
  /** The process has ended by itself. */
  forget(pid: number): void;
  /** Nothing is watched any more. */
  close(): Promise<void>;
}

/**
 * Starts a process that waits for its standard input to end, which is when this process is gone,
 * and then ends what it was told to watch. A notebook that computes hears of nothing itself.
 */
export function startGuard(): Guard {
  const child = new Deno.Command(Deno.execPath(), {
    // ending a process needs this right without limits; the script is the project's own
    args: ["run", "--no-config", "--no-prompt", "--quiet", "--allow-run", script],
    stdin: "piped",
    stdout: "null",
    stderr: "null",
  }).spawn();
  const writer = child.stdin.getWriter();
  const encoder = new TextEncoder();
  const tell = (text: string) => {
    writer.write(encoder.encode(`${text}\n`)).catch(() => {}); // without a guard a run still runs
  };
  return {
    watch: (pid) => tell(`+${pid}`),
    forget: (pid) => tell(`-${pid}`),
    async close() {
      await writer.close().catch(() => {});
      await child.status;
    },
  };
}

const script = fromFileUrl(new URL("./guard-child.ts", import.meta.url));
