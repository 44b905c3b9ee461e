import assert from "node:assert/strict";
import { strFromU8, unzipSync } from "fflate";
import { Document, Packer, Paragraph, TextRun } from "docx";
import { readDocuments, withoutFromDocuments } from "../../../lib/report/seal/mod.ts";
import type { CellOutput } from "../../../lib/report/notebooks/mod.ts";
import { completeness, flow, seal } from "./sealed.ts";

const said = (text: string): CellOutput => ({
  type: "result",
  bundle: { "text/plain": text, "text/markdown": text },
});

// Invented numbers, by hand: each names few people, or leaves few of those it names.
const telling = [
  "In all 4 patients had a stroke.",
  "Of those left with a leak 3 died.",
  "Stroke befell 4 of 374 patients.",
  "A stroke was seen in 370 of 374 patients.",
  "4/374 patients had a stroke.",
  "Stroke: 4 (1.1%).",
  "Stroke after repair (n = 4) was rare.",
  "Three women had endocarditis.",
  "Seven died in hospital.",
  "Endocarditis was found in 1.1% of 374 patients.",
  "98.9% of 374 patients were free of it.",
  "Reopened: 61 patients, 58 of them at night.",
  "There were 5 strokes and 12 infections.",
  "Two pairs were lost.",
  "The **4 patients** had *a stroke*.",
  "4 did not come back.",
  "Nine of 400 patients left against advice.",
];

// None of these counts people, or none but many.
const telling0 = [
  "374 pairs were matched.",
  "Of 374 patients 0 had a stroke.",
  "1,607 of 1,607 patients were followed.",
  "Neighbouring bars with fewer than 11 patients are drawn as one.",
  "18 of 21 measured characteristics differed.",
  "4 warnings were raised.",
  "Of 100 patients who could have had either operation, about 5 were reoperated on.",
  "The difference is 5 fewer to 6 more per 100.",
  "The c-statistic is the chance that of two patients the impaired one ranks higher.",
  "Within 5 years 61% of patients were alive.",
  "In table 4 patients are counted once.",
  "By 4 adjusted methods the difference is from 0.1 to 2.2.",
  "A surgeon with fewer than 5 operations had no line.",
  "Braun and others saw it in 8 patients (2005;27:847).",
  "Grade 3 was rare.",
  "12.5 patients had it on average.",
  "At 1, the survival predicted in group 1 fell below 0 for 4 of 161 rows and was taken as 0.",
];

Deno.test(`sealRuns() withholds each of ${telling.length} sentences that tell of few, and no other`, () => {
  for (const text of telling) {
    const { proof, outputs } = seal(flow(600), completeness, said(`Before. ${text} After.`));
    assert.deepEqual([proof.withheld, proof.pinned], [["01-a, shown 1, sentence 2"], []], text);
    const bundle = (outputs.at(-1) as { bundle: Record<string, unknown> }).bundle;
    for (const type of ["text/plain", "text/markdown"]) {
      assert.match(String(bundle[type]), /^Before\. \(A sentence is withheld: .*\) After\.$/, text);
    }
    // the proof is published: it does not say what was withheld
    assert.ok(!JSON.stringify(proof).includes(text.split(" ").slice(0, 3).join(" ")));
  }
  for (const text of telling0) {
    const { proof } = seal(flow(600), completeness, said(text));
    assert.deepEqual([proof.withheld, proof.pinned], [[], []], text);
  }
});

Deno.test("sealRuns() works out a hidden count from a share of 100 and the size of its group", () => {
  // 400 repairs were meant: 1% are 2 to 6 of them, five values; of 600, 3 to 8, six; of 200, 1 to 3
  const text = (share: number) =>
    said(`Of 100 replacements that were meant, ${share} ended early.`);
  const { proof, outputs } = seal(flow(600), completeness, text(1));
  assert.deepEqual(proof.withheld, ["01-a, shown 1, sentence 1"]);
  assert.ok(!JSON.stringify(outputs.at(-1)).includes("100"));
  assert.deepEqual(seal(flow(600), completeness, text(40)).proof.withheld, []);
});

Deno.test("sealRuns() knows the groups as sentences name them", () => {
  // of 200, 4% are 7 to 9: three values
  const text = (share: string) =>
    said(
      `The orifice is missing in 31% of patients with an intended repair and in ${share} with an intended replacement.`,
    );
  assert.deepEqual(seal(flow(600), completeness, text("4% of patients")).proof.withheld, [
    "01-a, shown 1, sentence 1",
  ]);
  for (const share of ["36% of patients", "0% of patients", "few patients"]) {
    assert.deepEqual(seal(flow(600), completeness, text(share)).proof.withheld, [], share);
  }
});

Deno.test("a sentence goes from captions, notes, alternative texts and prose, wherever it stands", () => {
  const text = "Four patients died in theatre.";
  const figure: CellOutput = {
    type: "result",
    bundle: { "image/svg+xml": `<svg aria-label="${text}"></svg>`, "text/plain": text },
    item: {
      kind: "figure",
      id: "own",
      title: "Own",
      caption: `A figure. ${text}`,
      alt: text,
      svg: `<svg aria-label="${text}"><title>${text}</title></svg>`,
    },
  };
  const { outputs, proof } = seal(flow(600), completeness, figure);
  assert.equal(proof.withheld.length, 1);
  assert.ok(!JSON.stringify(outputs).includes("Four patients"));
});

Deno.test("readDocuments() finds what the documents alone say, and takes it out of page and manuscript", async () => {
  const { read } = seal(flow(600), completeness, said("Nothing to tell."));
  const docx = new Uint8Array(
    await (await Packer.toBlob(
      new Document({
        sections: [{ children: [new Paragraph("A title"), paragraph("Four", " patients died.")] }],
      }),
    )).arrayBuffer(),
  );
  const page =
    "<h1>Title</h1><p>All were seen.\nFour <b>patients</b>&nbsp;died. The rest lived.</p>" +
    "<script>const four = '4 patients died.'</script>";
  const contents = new Map<string, string | Uint8Array<ArrayBuffer>>([
    ["report.html", page],
    ["manuscript/manuscript.docx", docx],
    ["data.json", "{}"],
  ]);
  const { withheld, pinned, sentences } = readDocuments(contents, read);
  assert.deepEqual([withheld.map(({ text }) => text), pinned], [["Four patients died."], []]);
  assert.ok(sentences >= 4);
  const without = withoutFromDocuments(contents, withheld);
  const html = String(without.get("report.html"));
  assert.match(html, /All were seen\.\n\(A sentence is withheld: [^<]*\)<b><\/b> The rest lived\./);
  const body = unzipSync(without.get("manuscript/manuscript.docx") as Uint8Array);
  const xml = strFromU8(body["word/document.xml"]!);
  assert.ok(!/patients/.test(xml) && /A title/.test(xml) && /is withheld/.test(xml), xml);
  assert.equal(xml.match(/<w:t\b/g)?.length, xml.match(/<\/w:t>/g)?.length);
  // what was read already is not read again
  assert.deepEqual(readDocuments(new Map([["a.txt", "Nothing to tell."]]), read).sentences, 0);
});

function paragraph(...texts: string[]): Paragraph {
  return new Paragraph({ children: texts.map((text) => new TextRun(text)) });
}
