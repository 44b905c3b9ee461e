// Every benchmark in turn, one process each so that none inherits another's heap: `deno task bench
// [NAME ...]`, where a NAME is part of a file's name. Compare only numbers of one run: they are of
// this machine and its load.
import { relative } from "node:path";
import { typescriptFiles } from "../source-files.ts";

const folder = import.meta.dirname!;
const wanted = Deno.args;
const files = [...typescriptFiles(folder)]
  .map((path) => relative(folder, path))
  .filter((name) => name.endsWith(".bench.ts"))
  .filter((name) => wanted.length === 0 || wanted.some((part) => name.includes(part)))
  .sort();
if (files.length === 0) {
  console.error(`No benchmark is named like ${wanted.join(", ")}`);
  Deno.exit(2);
}
// a benchmark writes what it times into files, and asks the reference library where it is installed
const rights = [
  "--no-prompt",
  "--allow-read",
  "--allow-write",
  `--allow-run=${Deno.execPath()},Rscript`,
  "--allow-env",
  "--allow-sys",
];
let failed = 0;
for (const file of files) {
  console.log(`\n== ${file.replace(".bench.ts", "")}`);
  const { success } = await new Deno.Command(Deno.execPath(), {
    args: ["run", ...rights, `${folder}/${file}`],
    stdout: "inherit",
    stderr: "inherit",
  }).output();
  if (!success) failed++;
}
console.log(`\n${files.length - failed} of ${files.length} benchmarks ran through`);
Deno.exit(failed === 0 ? 0 : 1);
