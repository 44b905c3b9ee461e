/**
 * Reads `+pid` and `-pid`, one a line, until there is no more to read; then ends every process that
 * was named and not taken back. Imports nothing: it starts with every run.
 */
const watched = new Set<number>();
const decoder = new TextDecoder();
let held = "";
for await (const bytes of Deno.stdin.readable) {
  const lines = (held + decoder.decode(bytes, { stream: true })).split("\n");
  held = lines.pop() ?? "";
  for (const line of lines) {
    const pid = Number(line.slice(1));
    if (line.startsWith("+")) watched.add(pid);
    else watched.delete(pid);
  }
}
for (const pid of watched) {
  try {
    Deno.kill(pid, "SIGKILL");
  } catch {
    // it has ended
  }
}
