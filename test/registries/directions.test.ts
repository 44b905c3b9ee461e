import { deepEqual, equal, match, ok } from "node:assert/strict";
import { deriver } from "../../lib/cohort/cells/mod.ts";
import type { MappedSource } from "../../lib/study/mapping/mod.ts";
import { type Rows, talkOver } from "./talk.ts";

// Which way round yes and no are, and 1 and 0 and 2. All expectations by hand; rows are invented.

const numbered = (of: (i: number) => Record<string, string | number>): Rows =>
  Array.from({ length: 40 }, (_, i) => ({ "Case ID": `R${i}`, ...of(i) }));
const died = (i: number) => i % 5 === 0;
const columnOf = (source: MappedSource | undefined) =>
  typeof source === "string"
    ? source
    : source !== undefined && "column" in source
    ? source.column
    : null;

Deno.test("no status is taken for death unasked unless heading or values name it, in any language", async () => {
  for (
    const heading of ["Vital status", "Status", "Alive", "Lebt", "In vita", "In leven", "Żyje"]
  ) {
    for (
      const [yes, no] of [[1, 0], [1, 2], ["yes", "no"], ["ja", "nein"], ["si", "no"]] as const
    ) {
      const patients = numbered((i) => ({ [heading]: died(i) ? no : yes }));
      const { study } = await talkOver({ patients }, {
        silent: true,
        answers: { [`patients.${heading}`]: "dead", "patients.id": "Case ID" },
        before: { [`patients.${heading}`]: "dead" },
      });
      const source = study.mapping.patients[heading];
      equal(columnOf(source), null, `${heading} of ${yes} and ${no}: ${JSON.stringify(source)}`);
    }
  }
  const named = numbered((i) => ({ "Vital status": died(i) ? "dead" : "alive" }));
  const { asked, study } = await talkOver({ patients: named });
  ok(!asked.includes("patients.Vital status"), asked.join());
  deepEqual(study.mapping.patients["Vital status"], {
    column: "dead",
    codes: { dead: 1, alive: 0 },
  });
});

Deno.test("a value of a status that is left open is blank, and not the dictionary's own 1", async () => {
  const { study } = await talkOver({
    patients: numbered((i) => ({ Status: died(i) ? 2 : 1 })),
  }, {
    answers: { "patients.Status": "dead", "patients.Status.dead.values": "2=dead" },
  });
  deepEqual(study.mapping.patients.Status, { column: "dead", codes: { 2: 1 }, missing: ["1"] });
});

Deno.test("a heading that denies is asked about, values and all", async () => {
  for (const heading of ["No diabetes", "Ohne Diabetes", "Diabetes-free", "kein Diabetes"]) {
    const patients = numbered((i) => ({ [heading]: i % 3 === 0 ? "no" : "yes" }));
    const silent = await talkOver({ patients }, {
      silent: true,
      answers: { "patients.id": "Case ID" },
    });
    equal(columnOf(silent.study.mapping.patients[heading]), null, heading);
    const { study } = await talkOver({ patients }, {
      answers: {
        "patients.unlike": heading,
        [`patients.${heading}`]: "diabetes",
        [`patients.${heading}.diabetes.values`]: "no=1; yes=0",
      },
    });
    const source = study.mapping.patients[heading];
    deepEqual(source, { column: "diabetes", codes: { no: 1, yes: 0 } }, heading);
  }
  // this one is a number of something
  const { study } = await talkOver({ patients: [{ "Patient no": 1, Diabetes: "no" }] });
  equal(columnOf(study.mapping.patients.Diabetes), "diabetes");
});

Deno.test("beside a letter that is unknown no letter is known: M is not a man beside H", async () => {
  const patients = numbered((i) => ({ Sexo: i % 2 ? "H" : "M" }));
  const { asked, texts, proposals } = await talkOver({ patients });
  ok(asked.includes("patients.Sexo.sex.values"));
  match(texts["patients.Sexo.sex.values"]!, /M \(20\): \?/);
  equal(proposals["patients.Sexo.sex.values"], undefined);
});

const date = (month: number, i: number) => `20${10 + month}-0${1 + i % 9}-${String(10 + i % 18)}`;
const followed = (status: (i: number) => number, blank: string) =>
  numbered((i) => ({
    "Operation date": date(1, i),
    "Last contact": date(5, i),
    "Date of death": died(i) ? date(5, i) : blank,
    "Died": status(i),
  }));

Deno.test("dates of death that contradict a column of deaths have it asked about", async () => {
  const { asked, texts, study } = await talkOver({
    patients: followed((i) => died(i) ? 0 : 1, ""),
  });
  ok(asked.includes("patients.Died.dead.values"), asked.join());
  match(
    texts["patients.Died.dead.values"]!,
    /0 \(8\): 1 \(100% of these rows have a date of death/,
  );
  deepEqual(study.mapping.patients.Died, { column: "dead", codes: { 1: 0, 0: 1 } });
  const right = await talkOver({ patients: followed((i) => died(i) ? 1 : 0, "") });
  ok(!right.asked.includes("patients.Died.dead.values"), right.asked.join());
});

Deno.test("a word among dates of death is no death: it is asked what it stands for", async () => {
  const patients = followed(() => 0, "alive").map(({ Died: _, ...row }) => row);
  const { texts, study } = await talkOver({ patients });
  match(texts["patients.Date of death.words"]!, /1 of its values is no date: alive \(32\)/);
  deepEqual(
    study.mapping.derived.patients.filter(({ column }) =>
      column === "dead" || column === "fu_days"
    ),
    [
      {
        rule: "days-between",
        column: "fu_days",
        from: "Operation date",
        to: ["Date of death", "Last contact"],
        order: "year-first",
        missing: ["alive"],
      },
      { rule: "filled", column: "dead", sources: ["Date of death"], missing: ["alive"] },
    ],
  );
  // where nobody says, nobody is dead
  const silent = await talkOver({ patients }, {
    silent: true,
    answers: { "patients.id": "Case ID", "patients.Date of death": "death" },
  });
  ok(!silent.study.mapping.derived.patients.some(({ column }) => column === "dead"));
});

Deno.test("a heading of two columns is confirmed with what its values mean in each", async () => {
  const patients = numbered((i) => ({ "Op kind": ["Rep", "Conv", "Ers"][i % 3]! }));
  const { texts, study } = await talkOver({ patients }, {
    answers: {
      "patients.unlike": "Op kind",
      "patients.Op kind": "intended, final",
      "patients.Op kind.intended.values": "Rep=repair; Conv=repair; Ers=replacement",
      "patients.Op kind.final.values": "Rep=repair; Conv=replacement; Ers=replacement",
    },
  });
  match(texts["study.confirm"]!, /intended: Rep=repair; Conv=repair; .*final: .*Conv=replacement/);
  deepEqual(study.mapping.derived.patients, [{
    rule: "first-of",
    column: "final",
    sources: ["Op kind"],
    codes: { Rep: "repair", Conv: "replacement", Ers: "replacement" },
  }]);
});

Deno.test("a text that denies a conversion, or tells of one of the way in, is no replacement", async () => {
  const texts = [
    "MV repair with ring 32, no conversion",
    "MKR mit Ring 34, keine Konversion",
    "Minimal-invasive MKR, Konversion auf Sternotomie",
    "MV repair attempted, conversion to tissue valve",
    "MKR, Konversion auf MKE biologisch",
    "MV replacement, mechanical valve",
    "Something else altogether here",
  ];
  const patients = numbered((i) => ({ "Op text": texts[i % texts.length]! }));
  const asked = await talkOver({ patients }, { answers: { "patients.Op text": "text" } });
  const shown = asked.texts["patients.Op text"]!;
  // of 40 rows the first five texts stand six times each, the sixth five times
  match(shown, /intended: repair \(30\), replacement \(5\)/);
  match(shown, /not told by 1 of the texts, so blank and listed: “Something else/);
  const final = asked.study.mapping.derived.patients.find(({ column }) => column === "final");
  ok(final?.rule === "words-of");
  const become = deriver(final, ".");
  deepEqual(texts.map((text) => become(() => text)), [
    "repair",
    "repair",
    "repair",
    "replacement",
    "replacement",
    "replacement",
    { unreadable: "cannot be worked out: none of the words for it is in the text" },
  ]);
});

Deno.test("a heading of a date whose values cannot be read as dates is asked about, and says why", async () => {
  for (const value of ["03.05.14", "42370", "3. März 2014"]) {
    const patients = numbered(() => ({ "OP-Datum": value }));
    const { asked, texts } = await talkOver({ patients }, {
      answers: { "patients.OP-Datum": "open: dates to be written with four digits" },
    });
    ok(asked.includes("patients.OP-Datum") && !asked.includes("patients.unlike"), asked.join());
    match(texts["patients.OP-Datum"]!, /no dates that can be read: a year needs four digits/);
  }
});

Deno.test("grades before operation that end at 3 are asked about: severe, or moderate to severe", async () => {
  const graded = (name: string, grades: (string | number)[]) =>
    numbered((i) => ({ [name]: grades[i % grades.length]! }));
  const answered = async (scale: string | undefined, grades: (string | number)[]) => {
    const id = "patients.MR grade.mr_pre.values.scale";
    const { asked, proposals, study } = await talkOver({
      patients: graded("MR grade", grades),
      visits: numbered((i) => ({ day: 30 + i, mr: i % 4 })),
    }, { answers: scale === undefined ? {} : { [id]: scale } });
    equal(proposals[id], undefined);
    return [asked.includes(id), study.mapping.patients["MR grade"], study.mapping.visits.mr];
  };
  deepEqual(await answered("severe", [3, 2, 3, 1]), [
    true,
    { column: "mr_pre", codes: { 3: 4 } },
    { column: "mr", codes: { 3: 4 } },
  ]);
  deepEqual(await answered("severe", ["III", "II", "III"]), [
    true,
    { column: "mr_pre", codes: { III: 4, II: 2 } },
    { column: "mr", codes: { 3: 4 } },
  ]);
  deepEqual(await answered("more", [3, 2, 3, 1]), [true, "mr_pre", "mr"]);
  const [, left] = await answered(undefined, [3, 2, 3, 1]);
  equal(columnOf(left as MappedSource), null);
  deepEqual(await answered(undefined, [3, 4, 2]), [false, "mr_pre", "mr"]);
});

Deno.test("half a grade is asked about, and is neither of the two unless somebody says so", async () => {
  const visits = numbered((i) => ({ day: 30 + i, "MR grade": i % 5 === 0 ? 1.5 : i % 3 }));
  const patients = numbered(() => ({}));
  const { asked, study } = await talkOver({ patients, visits });
  ok(asked.includes("visits.MR grade.mr.values.between"), asked.join());
  deepEqual(study.mapping.visits["MR grade"], { column: "mr", codes: { "1.5": 2 } });
  const open = await talkOver({ patients, visits }, {
    answers: { "visits.MR grade.mr.values.between": "open" },
  });
  equal(columnOf(open.study.mapping.visits["MR grade"]), "mr");
});
