import assert from "node:assert/strict";
import { join } from "node:path";
import { demoReport } from "../../demo-report.ts";
import { oddIn } from "../../words/odd-phrases.ts";

/** The words of a page, each block a text of its own. */
function blocksOf(html: string): string[] {
  return html.replace(/<(script|style|pre|svg|template)\b[\s\S]*?<\/\1>/g, " ")
    .split(/<\/?(?:p|li|h\d|td|th|dt|dd|div|figcaption|section|caption|summary)\b[^>]*>/)
    .map((block) => block.replace(/<[^>]+>/g, "").replace(/\s+/g, " ").trim())
    .filter((block) => block !== "");
}

Deno.test("no sentence of the demonstration's documents has an odd phrase, or stands twice in a block", async () => {
  const folder = await demoReport();
  const found: string[] = [];
  let read = 0;
  for (const name of ["report.html", "brief.html", "supplement.html"]) {
    for (const block of blocksOf(await Deno.readTextFile(join(folder, name)))) {
      read++;
      // a title, which is given a full stop where words follow it
      const words = block.replaceAll("Who was studied", "");
      for (const odd of oddIn(words)) found.push(`${name}: ${odd}: ${block.slice(0, 200)}`);
      const sentences = block.split(/(?<=\p{L}{2}[.])\s+(?=\p{Lu})/u).filter((one) =>
        one.length > 40
      );
      const twice = sentences.find((one, i) => sentences.indexOf(one) !== i);
      if (twice) found.push(`${name}: twice: ${twice}`);
    }
  }
  assert.ok(read > 500);
  const remedy = "reword it in lib/ or the plan; the phrases are in test/words/odd-phrases.ts";
  assert.deepEqual(found, [], `${found.join("\n")}\n${remedy}`);
});

Deno.test("the demonstration shows all that its plan names", async () => {
  const folder = await demoReport();
  const { plan, tables, findings } = JSON.parse(
    await Deno.readTextFile(join(folder, "findings.json")),
  );
  assert.ok(plan.planned.length > 20 && tables.length > 40 && findings.length > 10);
  const supplement = await Deno.readTextFile(join(folder, "supplement.html"));
  const [missing] = /Planned but not done: [^<]*/.exec(supplement) ?? [];
  const remedy = "show it in a notebook, or take it off `planned` in data-demo/study.json";
  assert.equal(missing, undefined, `${missing}: ${remedy}`);
});
