import assert from "node:assert/strict";
import type { BriefBlock } from "../../../lib/report/brief/mod.ts";
import { briefPdf } from "../../../lib/report/print/mod.ts";

const blocks = (count: number): BriefBlock[] => [
  { kind: "question", text: "Repair or replacement?" },
  { kind: "heading", text: "What these data show" },
  { kind: "row", cells: ["Patients", "Alive"], heading: true },
  { kind: "row", cells: ["All", "83 / 82"], heading: false },
  ...Array.from({ length: count }, (): BriefBlock => ({
    kind: "point",
    text: "A difference outside the plausible range fits these data poorly. ".repeat(2),
  })),
];

const pages = (pdf: Uint8Array) =>
  new TextDecoder("latin1").decode(pdf).match(/\/Type\s*\/Page(?![a-zA-Z])/g)?.length;

Deno.test("briefPdf() writes one A4 page with its fonts, the same bytes twice", async () => {
  // by hand: 60 points of two lines each do not fit at 11 points, so that the letters shrink
  for (const count of [2, 60]) {
    const pdf = await briefPdf(blocks(count), { title: "In brief" });
    assert.equal(pages(pdf), 1, String(count));
    const text = new TextDecoder("latin1").decode(pdf);
    assert.match(text, /\/MediaBox \[0 0 595\.28 841\.89\]/);
    assert.match(text, /SourceSans3/);
    assert.deepEqual(await briefPdf(blocks(count), { title: "In brief" }), pdf);
  }
});

Deno.test("briefPdf() says so where the words do not fit on a page", async () => {
  await assert.rejects(() => briefPdf(blocks(400), { title: "x" }), /does not fit on one page/);
});
