import { deepEqual, equal } from "node:assert/strict";
import { lineOfPath, pathOf } from "../../lib/study/problems/json-line.ts";

Deno.test("lineOfPath() finds a part of a JSON text, or the nearest around it (by hand)", () => {
  const text =
    '{\n  "a": {\n    "b, {": 1,\n    "c": [\n      1,\n      { "d": "\\"}" }\n    ]\n  },\n' +
    '  "e": 2\n}\n';
  equal(lineOfPath(text, ["a"]), 2);
  equal(lineOfPath(text, ["a", "b, {"]), 3);
  equal(lineOfPath(text, ["a", "c", 1, "d"]), 6);
  equal(lineOfPath(text, ["a", "z"]), 2);
  equal(lineOfPath(text, ["e"]), 9);
  equal(lineOfPath(text, ["nothing"]), 1);
});

Deno.test("pathOf() knows a heading with dots and brackets in it, where it is told what there is", () => {
  const study = {
    mapping: { patients: { "Lt. EF": { codes: { "a.b": 1 } }, "MR [grade]": "mr_pre" } },
  };
  deepEqual(pathOf("mapping.patients.Lt. EF.codes.a.b", study), [
    "mapping",
    "patients",
    "Lt. EF",
    "codes",
    "a.b",
  ]);
  deepEqual(pathOf("mapping.patients.MR [grade]", study), ["mapping", "patients", "MR [grade]"]);
  deepEqual(pathOf("mapping.derived[2].column", study), ["mapping", "derived", 2, "column"]);
});

Deno.test("pathOf() takes a place apart", () => {
  deepEqual(pathOf("endpoints[2].label"), ["endpoints", 2, "label"]);
});
