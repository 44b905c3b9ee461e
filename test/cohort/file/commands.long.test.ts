import { equal, match } from "node:assert/strict";
import { fileURLToPath } from "node:url";

Deno.test("every command explains itself and refuses an option it does not have", async () => {
  const commands = [
    "cohort/propose",
    "cohort/deidentify",
    "report/validate",
    "report/compare",
    "report",
  ];
  await Promise.all(commands.map(async (command) => {
    const script = fileURLToPath(
      new URL(`../../../lib/${command}/cli.ts`, import.meta.url),
    );
    const run = async (option: string) => {
      const args = ["run", "--allow-read", "--allow-env", "--allow-sys", "--quiet", script, option];
      const { code, stdout, stderr } = await new Deno.Command(Deno.execPath(), { args }).output();
      const decoder = new TextDecoder();
      return { code, stdout: decoder.decode(stdout), stderr: decoder.decode(stderr) };
    };
    const help = await run("--help");
    equal(help.code, 0, command);
    match(help.stdout, /deno task \w+/);
    const odd = await run("--odd");
    equal(odd.code, 2, command);
    match(odd.stderr, /--odd[\s\S]*deno task \w+/);
  }));
});
