import assert from "node:assert/strict";
import { cellKeys } from "../../../lib/report/cells/mod.ts";

const cells = [
  'import * as mitral from "mitral";\nconst { study, analysis } = await mitral.openAnalysis();',
  "const death = mitral.followUpOf(analysis, 'death'); const at = 5;",
  "mitral.say(study.title);",
  "mitral.say(alive(death, at));",
  "const alive = (data: unknown, time: number) => mitral.formatNumber(time + later);",
  "const later = 1;",
];

/** The cells (from 0) whose keys differ after an edit. */
function reachedBy(edit: (cells: string[]) => void): number[] {
  const edited = [...cells];
  edit(edited);
  const before = cellKeys(cells)!.keys;
  return cellKeys(edited)!.keys.flatMap((key, cell) => before.includes(key) ? [] : [cell]);
}

Deno.test("an edit reaches the cells that take a name whose code it changes, and no others", () => {
  // by hand
  assert.deepEqual(reachedBy((all) => all[2] += "\n// said"), [2]);
  assert.deepEqual(reachedBy((all) => all[1] = all[1]!.replace("'death'", "'reoperation'")), [
    1,
    3,
  ]);
  assert.deepEqual(reachedBy((all) => all[1] = all[1]!.replace("at = 5", "at = 10")), [1, 3]);
  // through the function that takes it, given later
  assert.deepEqual(reachedBy((all) => all[5] = "const later = 2;"), [3, 4, 5]);
  // a name more of what is opened changes none of those there are
  assert.deepEqual(reachedBy((all) => all[0] = all[0]!.replace("{ study", "{ cohort, study")), [0]);
  assert.deepEqual(reachedBy((all) => all[0] = all[0]!.replace("()", "('own')")), [0, 1, 2, 3]);
  assert.deepEqual(reachedBy((all) => all.splice(2, 0, "mitral.say('new');")), [2]);
  // a name taken before it is given is none
  assert.deepEqual(reachedBy((all) => all.unshift(all.splice(2, 1)[0]!)), [0]);
});

Deno.test("names taken out of one value are not those taken out of two that look alike", () => {
  // by hand
  const [first] = cells;
  const once = [first!, "const { a, b } = mitral.of(study);", "a === b", "mitral.say(b);"];
  const twice = once.with(1, "const { a } = mitral.of(study);\nconst { b } = mitral.of(study);");
  const keys = cellKeys(twice)!.keys;
  assert.deepEqual(cellKeys(once)!.keys.map((key, cell) => key === keys[cell]), [
    true,
    false,
    false,
    true,
  ]);
});

Deno.test("to run a cell runs those whose names it takes, however far back", () => {
  // by hand
  const { behind } = cellKeys(cells)!;
  assert.deepEqual([...behind([0])], [0]);
  assert.deepEqual([...behind([2])].sort(), [0, 2]);
  assert.deepEqual([...behind([3])].sort(), [0, 1, 3, 4, 5]);
  assert.deepEqual([...behind([])], []);
  assert.equal(cellKeys([...cells, "let x = 1;"]), undefined);
  assert.equal(cellKeys(cells.slice(0, 5)), undefined, "a name that no cell gives");
});
