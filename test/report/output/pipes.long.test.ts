import assert from "node:assert/strict";
import { join } from "node:path";
import { fromFileUrl, projectFolder } from "../../../lib/report/sandbox/mod.ts";

const demo = (name: string) => fromFileUrl(new URL(`../../../data-demo/${name}`, import.meta.url));

const commands: Record<string, string> = {
  begin: "lib/report/begin/cli.ts",
  compare: "lib/report/compare/cli.ts",
  deidentify: "lib/cohort/deidentify/cli.ts",
  map: "lib/cohort/propose/cli.ts",
  plan: "lib/report/lock/cli.ts",
  validate: "lib/report/validate/cli.ts",
  verify: "lib/report/output/cli.ts",
};

Deno.test({
  name: "a pipe to which nobody writes is refused at every door, and nothing waits for it",
  ignore: Deno.build.os === "windows",
  fn: async () => {
    const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
    try {
      const pipe = join(folder, "a, pipe ünï");
      const runs = join(folder, "run");
      await Deno.mkdir(runs);
      for (const path of [pipe, join(runs, "manifest.json"), join(runs, "findings.json")]) {
        assert.ok((await new Deno.Command("mkfifo", { args: [path] }).output()).success);
      }
      const out = (name: string) => ["--out", join(folder, name)];
      const tables = ["--cohort", demo("patients.csv"), "--visits", demo("echo-visits.csv")];
      const doors: [command: string, ...args: string[]][] = [
        ["validate", "--study", pipe, ...out("a")],
        ["validate", "--cohort", pipe, ...out("b")],
        ["validate", "--visits", pipe, ...out("c")],
        ["map", "--cohort", pipe, ...out("d.json")],
        ["map", ...tables.slice(0, 2), "--visits", pipe, ...out("e.json")],
        ["deidentify", "--cohort", pipe, ...out("f"), "--key", join(folder, "key")],
        ["deidentify", ...tables, ...out("g"), "--key", pipe],
        ["deidentify", ...tables, ...out("h"), "--key", join(folder, "key"), "--study", pipe],
        ["begin", "--cohort", pipe, "--visits", "none", ...out("i"), "--no-questions"],
        ["begin", ...tables, ...out("j"), "--answers", pipe, "--no-questions"],
        ["plan", "--study", pipe],
        ["verify", runs],
        ["compare", runs, runs],
      ];
      const answerOf = async (command: string, args: string[]): Promise<string> => {
        const child = new Deno.Command(Deno.execPath(), {
          args: ["run", "--no-check", "-A", join(projectFolder, commands[command]!), ...args],
          stdin: "null",
          stdout: "piped",
          stderr: "piped",
        }).spawn();
        let waited = false;
        const late = setTimeout(() => {
          waited = true;
          child.kill("SIGKILL");
        }, 60_000);
        const { code, signal, stdout, stderr } = await child.output();
        clearTimeout(late);
        const said = [stdout, stderr].map((bytes) => new TextDecoder().decode(bytes)).join("\n");
        const where = `${command} ${args.join(" ")} (${signal ?? code}): ${said.slice(0, 300)}`;
        assert.ok(!waited, `waits for ever: ${where}`);
        assert.notEqual(code, 0, where);
        assert.doesNotMatch(said, /Uncaught|\n {4}at /, where);
        // ended from outside, as where memory is short: the door has not answered
        return signal === null ? said : await answerOf(command, args);
      };
      for (const [command, ...args] of doors) {
        const said = await answerOf(command!, args);
        const where = `${command} ${args.join(" ")}: ${said.slice(0, 300)}`;
        assert.match(said, /it is a pipe or a device, not a file/, where);
      }
    } finally {
      await Deno.remove(folder, { recursive: true });
    }
  },
});
