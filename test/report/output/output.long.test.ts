import assert from "node:assert/strict";
import { join } from "node:path";
import { projectFolder } from "../../../lib/report/sandbox/mod.ts";
import { filesBelow } from "../workspace.ts";
import { inFolder, namesIn } from "./output-parts.ts";

Deno.test("sixty overlapping replacements by six processes leave one whole report, the last", () =>
  inFolder(async (folder) => {
    const out = join(folder, "a, b ünï");
    const script = join(projectFolder, "test/report/output/replace-times.ts");
    const children = ["a", "b", "c", "d", "e", "f"].map((name) =>
      new Deno.Command(Deno.execPath(), {
        args: ["run", "--no-check", "-A", script, out, "10", name],
        stdout: "piped",
        stderr: "piped",
      }).output()
    );
    const ended = await Promise.all(children);
    const said = ended.map(({ success, stdout, stderr }) => {
      assert.ok(success, new TextDecoder().decode(stderr));
      return new TextDecoder().decode(stdout).trim().split("\n");
    });
    assert.equal(said.flat().length, 60);
    const files = await filesBelow(out);
    assert.equal(files.size, 22);
    const versions = new Set([...files.values()].map((text) => text.split("\n")[0]));
    assert.equal(versions.size, 1, [...versions].join(" and "));
    const [version] = versions;
    assert.ok(said.some((lines) => lines.at(-1) === version), `${version} is nobody's last`);
    assert.deepEqual(namesIn(folder), ["a, b ünï"]);
  }));
