import assert from "node:assert/strict";
import { join } from "node:path";
import { denoFolder, projectFolder } from "../../lib/report/sandbox/mod.ts";
import {
  billOfMaterials,
  directPackages,
  licenceIn,
  licencesIn,
  packagesOf,
  packageUrl,
  parseLock,
} from "./bill.ts";

const lock = parseLock(await Deno.readTextFile(join(projectFolder, "deno.lock")));
const config = JSON.parse(await Deno.readTextFile(join(projectFolder, "deno.json")));
const folder = denoFolder();
assert.ok(folder);
const packages = packagesOf(lock, licencesIn(folder));

Deno.test("the bill of materials lists each package once, with its hash, and every reference in it leads somewhere", () => {
  const bill = JSON.parse(billOfMaterials(config, packages, directPackages(lock)));
  assert.equal(bill.specVersion, "1.6");
  const references = new Set(bill.components.map((part: { "bom-ref": string }) => part["bom-ref"]));
  assert.equal(references.size, Object.keys(lock.npm).length);
  assert.equal(references.size, bill.components.length);
  for (const { ref, dependsOn } of bill.dependencies) {
    for (const target of dependsOn) assert.ok(references.has(target), `${ref} -> ${target}`);
  }
  for (const { hashes, name } of bill.components) {
    assert.match(hashes[0].content, /^[0-9a-f]{128}$/, name);
  }
  const named = Object.values<string>(config.imports).filter((target) => target.startsWith("npm:"));
  assert.equal(bill.dependencies[0].dependsOn.length, named.length);
});

Deno.test("every package at hand has a licence that lets the project be passed on under its own", () => {
  // permissive licences, and weak copyleft that binds only its own files; common
  // practice, no source
  const fine = new Set(
    ("MIT ISC Apache-2.0 BSD-2-Clause BSD-3-Clause 0BSD BlueOak-1.0.0 CC0-1.0 Unlicense MPL-2.0 " +
      "BSL-1.0 CC-BY-4.0 Python-2.0 MIT-0 OFL-1.1 Zlib WTFPL BSD-like").split(" "),
  );
  const problems = packages.flatMap(({ name, version, licence }) => {
    if (licence === undefined) return [];
    const parts = licence.replace(/[()]/g, "").split(" AND ");
    return parts.every((part) => part.split(" OR ").some((word) => fine.has(word)))
      ? []
      : [`${name}@${version}: ${licence}`];
  });
  const remedy =
    "choose another package in deno.json, or add the licence to test/packages/bill.test.ts";
  assert.deepEqual(problems, [], remedy);
  assert.ok(packages.filter(({ licence }) => licence !== undefined).length > packages.length / 2);
});

Deno.test("no package wants to run a script when it is installed", () => {
  const scripts = packages.filter(({ hasScript }) => hasScript);
  assert.deepEqual(scripts, [], "choose another package in deno.json");
});

Deno.test("what danfojs asks for and never needs here is a stand-in that refuses, or a part of it", async () => {
  const names = packages.map(({ name }) => name);
  for (const gone of ["xlsx", "plotly.js-dist-min", "@tensorflow/tfjs", "jsdom", "core-js"]) {
    assert.ok(!names.includes(gone), gone);
  }
  const { DataFrame, readExcel } = await import("danfojs");
  const frame = new DataFrame({ a: [1, 2, 4], b: ["x", "y", "x"] });
  assert.match(frame.describe().toString(), /mean +│ 2\.333/);
  // an old spreadsheet reader stood here
  await assert.rejects(async () => await readExcel(new File([new Uint8Array(9)], "a.xlsx")));
});

Deno.test("licenceIn() reads the forms of three decades", () => {
  assert.equal(licenceIn({ license: "MIT" }), "MIT");
  assert.equal(licenceIn({ license: { type: "ISC", url: "x" } }), "ISC");
  assert.equal(licenceIn({ licenses: [{ type: "MIT" }, { type: "BSD" }] }), "MIT OR BSD");
  assert.equal(licenceIn({}), undefined);
  assert.equal(packageUrl("@a/b", "1.0.0"), "pkg:npm/%40a/b@1.0.0");
});

Deno.test("every package that the project names is reviewed, in the version that is used", async () => {
  const review = await Deno.readTextFile(new URL("review.md", import.meta.url));
  const rows = [...review.matchAll(/^\| (@?[\w@/.-]+) +\| +([\d.]+) \|/gm)]
    .map(([, name, version]) => `${name}@${version}`);
  const named = Object.values<string>(config.imports)
    .filter((target) => target.startsWith("npm:")).map((target) => target.slice(4));
  const both = "the table of test/packages/review.md against the imports of deno.json";
  assert.deepEqual(rows.sort(), named.sort(), both);
  const counted = `test/packages/review.md must say "all ${packages.length} with"`;
  assert.match(review, new RegExp(`all ${packages.length} with`), counted);
});
