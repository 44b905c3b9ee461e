import assert from "node:assert/strict";
import {
  marksSentence,
  notMeasuredInWords,
  publishableChanges,
  riskOverTable,
  type ventricleAfter,
  ventricleChangeTable,
  ventricleSentence,
} from "mitral";

const labels = { repair: "Mended", replacement: "Replaced" };
const heading = { id: "t", title: "T", caption: "C" };
const arms = [
  { arm: "repair" as const, n: 90, before: 60, after: 53.2, change: -6.8 },
  { arm: "replacement" as const, n: 4, before: 55, after: 56, change: 1 },
];
const ventricle = {
  arms,
  marks: [],
  notMeasured: { repair: 4, replacement: 3 },
} as Partial<ReturnType<typeof ventricleAfter>> as ReturnType<typeof ventricleAfter>;

Deno.test("publishableChanges() leave out a group too small, and bound one that tells of few others", () => {
  const shown = (repair: number) =>
    publishableChanges(ventricle, { labels, counts: { repair, replacement: 40 } }, {
      smallestCell: 11,
    });
  assert.deepEqual(shown(120).map(({ group, n }) => [group, n]), [["Mended", 90]]);
  assert.equal(shown(95)[0]!.n, "> 84"); // 5 were not measured
  const { rows } = ventricleChangeTable(heading, shown(120));
  assert.deepEqual(rows[0], { group: "Mended", n: 90, before: 60, after: 53.2, change: -6.8 });
});

Deno.test("ventricleSentence() says which way, and how many had none", () => {
  const changes = publishableChanges(ventricle, {
    labels,
    counts: { repair: 120, replacement: 40 },
  }, {
    smallestCell: 1,
  });
  const text = ventricleSentence(changes, labels);
  assert.match(text, /6\.8 points lower \(mended\) and 1\.0 points higher \(replaced\)/);
  assert.match(ventricleSentence([], labels), /^Too few/);
  assert.equal(
    notMeasuredInWords(ventricle, { smallestCell: 11 }),
    "Fewer than 11 patients alive then",
  );
});

Deno.test("riskOverTable() is empty where a curve does not reach", () => {
  const curve = {
    label: "33 mm",
    x: [40, 50],
    estimate: [0.8, 0.5],
    lower: [0.7, 0.4],
    upper: [0.9, 0.6],
  };
  const { rows, columns } = riskOverTable({
    ...heading,
    over: { label: "Ejection fraction", unit: "%" },
    at: [50, 60],
  }, [curve]);
  assert.deepEqual(rows.map((row) => row.curve0), ["50 (40 to 60)", null]);
  assert.deepEqual(columns.map(({ label }) => label), ["Ejection fraction", "33 mm"]);
});

Deno.test("marksSentence() tells whole patients of 100, and passes over what cannot be published", () => {
  const cells = [
    { arm: "repair" as const, marks: "none" as const, n: 220, low: 0.0545 },
    { arm: "repair" as const, marks: "both" as const, n: 386, low: 0.573 },
    { arm: "replacement" as const, marks: "none" as const, n: null, low: null },
  ];
  const phrases = { repair: "an intended repair", replacement: "an intended replacement" };
  // identity: shares in whole patients
  assert.equal(
    marksSentence(cells, phrases),
    "Ejection fraction below 50% about a year later, of 100 patients each: after an intended " +
      "repair, 5 with no warning mark before and 57 with both marks.",
  );
  assert.match(marksSentence(cells.slice(2), phrases), /^Too few/);
});
