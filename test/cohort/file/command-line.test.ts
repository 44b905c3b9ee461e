import { deepEqual, equal, match } from "node:assert/strict";
import { commandLine } from "../../../lib/study/command-line/mod.ts";

const spec = {
  usage: "how to call it",
  options: { out: { type: "string", default: "here" }, print: { type: "boolean" } },
} as const;

/** What a call gives, and what it printed. */
function called(args: string[], positionals = 0) {
  const printed = { log: "", error: "" };
  const { log, error } = console;
  console.log = (text) => printed.log += text;
  console.error = (text) => printed.error += text;
  try {
    return { line: commandLine(args, { ...spec, positionals }), ...printed };
  } finally {
    Object.assign(console, { log, error });
  }
}

// By hand.
Deno.test("commandLine() gives values and defaults, and leaves out a task runner's --", () => {
  const { line, log, error } = called(["--", "--print"]);
  deepEqual("values" in line && { ...line.values }, { out: "here", print: true });
  equal(log + error, "");
  const two = called(["a", "--out", "there", "b"], 2).line;
  deepEqual("positionals" in two && two.positionals, ["a", "b"]);
});

Deno.test("commandLine() prints the usage and says how to exit", () => {
  const help = called(["-h"]);
  deepEqual([help.line, help.error], [{ code: 0 }, ""]);
  match(help.log, /how to call it/);
  for (
    const [args, positionals, pattern] of [
      [["--odd"], 0, /--odd/],
      [["--out"], 0, /--out/],
      [["stray"], 0, /Unexpected argument "stray"/],
      [["a"], 2, /2 arguments are needed/],
      [["a", "b", "c"], 2, /Unexpected argument "c"/],
    ] as const
  ) {
    const { line, log, error } = called([...args], positionals);
    deepEqual([line, log], [{ code: 2 }, ""]);
    match(error, pattern);
    match(error, /how to call it/);
  }
});
