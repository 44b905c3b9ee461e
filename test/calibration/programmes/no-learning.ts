import { learningPlateau, SeededRandom } from "mitral";
import { programme } from "../../programme/programmes.ts";
import { percent, section } from "./section.ts";

const firstSeed = 700_000;
const marks = [0.01, 0.05, 0.1, 0.2, 0.5];
const kept = new URL("no-learning.json", import.meta.url);

/**
 * p values of the test of learning where nobody learns: of the next so many programmes, added to
 * those kept.
 */
export function noLearning(count: number): void {
  const values: number[] = JSON.parse(Deno.readTextFileSync(kept));
  for (let k = 0; k < count; k++) {
    const random = new SeededRandom(firstSeed + values.length);
    const { test } = learningPlateau(programme(random, {}), { points: 20, draws: 199 });
    values.push(test.pValue);
  }
  Deno.writeTextFileSync(kept, JSON.stringify(values) + "\n");
  const row = (mark: number) => {
    const below = values.filter((p) => p <= mark + 1e-9).length;
    return `| p at most ${mark} | ${100 * mark} | ${percent(below, values.length)} |`;
  };
  section(
    "no-learning",
    [
      `Nobody learns: ${values.length} programmes of their own, first seed ${firstSeed}, 20 numbers of`,
      "cases, 199 drawn outcomes each.",
      "",
      "| Learning seen at | Stated | Found |",
      "| --- | --- | --- |",
      ...marks.map(row),
    ].join("\n"),
  );
}
