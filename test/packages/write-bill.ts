/**
 * Writes the software bill of materials, every package with its licence, hash and what it asks for:
 *
 *     deno task sbom [FILE]        default: out/sbom.json
 *
 * Licences are read from the packages in the cache; one that was never fetched on this machine is
 * listed without.
 */
import { dirname, join, resolve } from "node:path";
import { denoFolder, projectFolder } from "../../lib/report/sandbox/mod.ts";
import { billOfMaterials, directPackages, licencesIn, packagesOf, parseLock } from "./bill.ts";

const folder = denoFolder();
if (folder === undefined) throw new Error("Cannot read licences: this system has no cache folder");
const lock = parseLock(await Deno.readTextFile(join(projectFolder, "deno.lock")));
const config = JSON.parse(await Deno.readTextFile(join(projectFolder, "deno.json")));
const packages = packagesOf(lock, licencesIn(folder));
const path = resolve(Deno.args[0] ?? join(projectFolder, "out", "sbom.json"));
await Deno.mkdir(dirname(path), { recursive: true });
await Deno.writeTextFile(path, billOfMaterials(config, packages, directPackages(lock)));
const counts = new Map<string, number>();
for (const { licence = "not at hand" } of packages) {
  counts.set(licence, (counts.get(licence) ?? 0) + 1);
}
console.log(`${packages.length} packages, listed in ${path}`);
for (const [licence, count] of [...counts].sort(([, a], [, b]) => b - a)) {
  console.log(`${String(count).padStart(5)}  ${licence}`);
}
const scripts = packages.filter(({ hasScript }) => hasScript).map(({ name }) => name);
if (scripts.length > 0) {
  console.log(`Wanting to run a script when installed: ${scripts.join(", ")}`);
}
