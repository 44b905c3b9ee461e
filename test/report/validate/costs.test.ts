import { deepEqual, equal, match, ok } from "node:assert/strict";
import { validateStudy } from "../../../lib/report/validate/mod.ts";
import { type Cut, type Row, writeCut } from "../../hostile/cut-cohort.ts";

// What each rule costs is counted by hand from the rows of the demonstration, invented data, that
// are spoilt here.

async function validated(rows: Cut["rows"], plan?: Cut["plan"]) {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const study = await writeCut(folder, { ...(rows && { rows }), ...(plan && { plan }) });
    const text = await Deno.readTextFile(study);
    return { ...await validateStudy({ study }), lines: text.split("\n") };
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("validation says what a rule costs in patients, visits, cells and events, before anything is run", async () => {
  let lost = { visits: 0, events: 0 };
  const { groups } = await validated((patients, visits) => {
    // one who died, was operated on again, and has visits; nobody knows how long he was followed
    const gone = patients.find((row) =>
      row.dead === "1" && row.reint === "1" && visits.some(({ id }) => id === row.id)
    )!;
    const own = visits.filter(({ id }) => id === gone.id);
    lost = { visits: own.length, events: 2 + own.filter(({ mr }) => Number(mr) >= 2).length };
    const others = patients.filter((row) => row !== gone);
    const free = visits.filter(({ id }) => id !== gone.id);
    const leak = free.find(({ mr }) => Number(mr) >= 2)!;
    const spoilt = (row: Row): Row =>
      row === gone
        ? { ...row, intended: "" }
        : row === others[0]
        ? { ...row, lvef: "200" }
        : row === others[1]
        ? { ...row, lvef: "300" }
        : row;
    return [
      patients.map(spoilt),
      visits.map((row) => row === leak ? { ...row, mr: "9" } : row),
    ];
  });
  const costOf = (column: string, rule: string) => {
    const { patients, visits, cells, events } = groups.find((group) =>
      group.column === column && group.rule === rule
    )!.costs!;
    return { patients, visits, cells, events };
  };
  ok(lost.visits > 0);
  deepEqual(costOf("intended", "required-value"), {
    patients: 1,
    visits: lost.visits,
    cells: 0,
    events: lost.events,
  });
  deepEqual(costOf("lvef", "hard-range"), { patients: 0, visits: 0, cells: 2, events: 0 });
  // a grade of 9 is no event that could be counted; its visit is lost
  const { patients, visits, cells } = costOf("mr", "hard-range");
  deepEqual([patients, visits, cells], [0, 1, 0]);
});

Deno.test("validation gives the part, the line and the JSON to paste, and pasting it mends the problem", async () => {
  const spoil: Cut["rows"] = (patients, visits) => [
    patients.map((row, i) => ({
      ...row,
      sex: i === 3 ? "male" : row.sex!,
      lvedd: i === 5 ? "60 - 65 mm" : row.lvedd!,
      "Ward": "3",
      "Lamp, old": "4",
    })),
    visits,
  ];
  const { groups, lines } = await validated(spoil);
  const written = groups.flatMap((group) => group.write ?? []);
  const jsonOf = (what: RegExp, has: RegExp) =>
    written.find((one) => what.test(one.what) && has.test(one.json))!;
  const mended: [string, unknown][] = [];
  for (
    const [what, has, change] of [
      [/leave it out/, /"Ward"/, {}],
      [/leave it out/, /its heading in your file/, { "its heading in your file": "Lamp, old" }],
      [/stand for/, /"male":"M"/, {}],
      [/stand for/, /the number it stands for/, {
        "what the file says": "60 - 65 mm",
        '"the number it stands for"': "62",
      }],
    ] as [RegExp, RegExp, Record<string, string>][]
  ) {
    const { json, line, part } = jsonOf(what, has);
    match(lines[line - 1]!, /\{/, `${part}: ${lines[line - 1]}`);
    const said = Object.entries(change).reduce((all, [from, to]) => all.replace(from, to), json);
    mended.push(...Object.entries(JSON.parse(`{${said}}`)) as [string, unknown][]);
  }
  const again = await validated(spoil, (plan) => {
    const mapping: Record<string, unknown> = {};
    for (const [key, value] of mended) {
      equal(key, "mapping");
      Object.assign(mapping, (value as { patients: object }).patients);
    }
    plan.mapping = { patients: mapping };
  });
  deepEqual(again.groups.filter(({ severity }) => severity !== "warning"), []);
});
