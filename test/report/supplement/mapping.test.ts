import { deepEqual, equal, match } from "node:assert/strict";
import { parseHTML } from "linkedom";
import { waivers } from "../../../lib/report/model/waivers.ts";
import { htmlText } from "../../../lib/report/tree/mod.ts";
import { hasMapping, mappingTree } from "../../../lib/report/supplement/mapping-section.ts";
import { publishedPlan } from "../../../lib/report/files/published-plan.ts";
import { smallStudy } from "../../cohort/small-cohort.ts";

/** What the methods say, by term: the count, then the lines of its list. */
function saidOf(mapping: unknown): Record<string, string[]> {
  const { document } = parseHTML(`<body>${htmlText(mappingTree(smallStudy({ mapping })))}</body>`);
  return Object.fromEntries(
    [...document.querySelectorAll("dl > div")].map((div) => {
      const lines = [...div.querySelectorAll("li")].map((item) => item.textContent);
      for (const list of div.querySelectorAll("ul")) list.remove();
      const count = div.querySelector("dd")?.textContent.trim() ?? "";
      return [div.querySelector("dt")?.textContent ?? "", [count, ...lines]];
    }),
  );
}

// By hand.
Deno.test("mappingTree() says what the study file declares of the files' columns, and counts it", () => {
  deepEqual(
    saidOf({
      patients: {
        Patient: "id",
        EF: { column: "lvef", unit: "fraction", missing: [-9, "unknown to Dr Doe"] },
        sex: { column: "sex", codes: { w: "F", m: "M" } },
        Ward: { ignore: "not used" },
        Maker: {
          ignore: "not compared",
          notIdentifying: { kinds: ["name", "place"], why: "makers <of rings>" },
        },
      },
      visits: { Weeks: { column: "day", unit: "weeks" } },
      missing: ["NK", "."],
      derived: {
        patients: [
          {
            rule: "days-between",
            column: "fu_days",
            from: "Operated",
            to: ["Died", "Last seen"],
            order: "day-first",
          },
          { rule: "constant", column: "redo", value: 0, why: "first operations only" },
        ],
        visits: [],
      },
    }),
    {
      Names: [
        "Renamed to those of the dictionary: 2 columns of the patients table and 1 column of the " +
        "visits table.",
      ],
      Units: [
        "2 columns converted from another unit.",
        "“EF”, in fraction, to ejection fraction in %",
        "“Weeks”, in weeks, to day of the echocardiogram in days from operation (visits)",
      ],
      Codes: [
        "1 column read by a list of codes, which the study file holds.",
        "“sex”, 2 codes, to sex",
      ],
      "Missing values": [
        "In every column: “NK” and “.”. 1 column with a code of its own.",
        "“EF”: “-9” and a code that is not shown",
      ],
      "Intervals from dates": [
        "1 column worked out from dates, which were read and not kept.",
        "follow-up: days from “Operated” to the first filled of “Died” and “Last seen”; dates read " +
        "day first",
      ],
      "Worked out from others": [
        "1 column worked out by a rule.",
        "previous heart operation: the same for everybody, because: first operations only",
      ],
      "Not read": [
        "2 columns left out; their values were not used.",
        "“Ward”: not used.",
        "“Maker”: not compared.",
      ],
      "Taken for no identifiers": [
        "1 column that looks like identifiers was let through on the study file’s word.",
        "“Maker”, whose values could be names and places smaller than a state: addresses, towns, " +
        "post codes: makers <of rings>.",
      ],
    },
  );
});

// By hand: every rule there is.
Deno.test("mappingTree() has words for every rule", () => {
  const said = saidOf({
    derived: {
      patients: [
        { rule: "years-between", column: "age", from: "Born", to: "Operated" },
        { rule: "year-of", column: "op_year", date: "Operated", order: "month-first" },
        { rule: "place-by-date", column: "case_seq", date: "Operated" },
        { rule: "first-of", column: "lvef", sources: ["EF 3D", "EF"] },
        { rule: "filled", column: "reint", sources: ["Redo on"] },
        { rule: "any-of", column: "diabetes", sources: ["DM1", "DM2"] },
        { rule: "count-of", column: "cad_vessels", sources: ["LAD", "RCA"] },
        { rule: "set-of", column: "adjunct", sources: { Cut: "chordal_cutting" } },
        { rule: "body-surface", column: "bsa", height: "cm", weight: "kg" },
      ],
      visits: [],
    },
  });
  deepEqual(said["Intervals from dates"]?.slice(1), [
    "age: years from “Born” to “Operated”; dates read year first",
    "year of operation: the year of “Operated”; dates read month first",
    "order of the operation in the centre's series: the place in the order of “Operated”; dates read year first",
  ]);
  deepEqual(said["Worked out from others"]?.slice(1).map((line) => line.split(": ")[1]), [
    "the first filled of “EF 3D” and “EF”",
    "yes where “Redo on” has a value",
    "yes where any of “DM1” and “DM2” is",
    "how many of “LAD” and “RCA” are yes",
    "those of “Cut” that are yes",
    "from “cm” and “kg”, by Mosteller’s formula",
  ]);
});

Deno.test("mappingTree() escapes reasons and hides headings that could be values", () => {
  const html = htmlText(mappingTree(smallStudy({
    mapping: {
      patients: {
        "<b>": { ignore: "<script>alert(1)</script>" },
        "2014-03-02": { ignore: "a date" },
      },
    },
  })));
  match(html, /&lt;script>alert\(1\)&lt;\/script>/);
  equal(/<script|<b>|2014/.test(html), false);
});

Deno.test("waivers() hides a heading that could be a value", () => {
  const notIdentifying = { kinds: ["name"], why: "makers" };
  const mapping = { visits: { "2014-03-02": { ignore: "not used", notIdentifying } } };
  deepEqual(waivers(smallStudy({ mapping })), [{
    table: "visits",
    column: "a column whose name is not shown",
    kinds: ["name"],
    why: "makers",
  }]);
});

Deno.test("hasMapping() is false where the study file says nothing of columns", () => {
  equal(hasMapping(smallStudy()), false);
  equal(hasMapping(smallStudy({ mapping: { missing: ["NK"] } })), true);
});

// By hand.
Deno.test("publishedPlan() counts the codes of surgeons and keeps all others", () => {
  const mapping = {
    patients: {
      Patient: "id",
      Operator: { column: "surgeon", codes: { "Dr A": "S1", "Dr B": "S2" } },
      sex: { column: "sex", codes: { w: "F", m: "M" } },
    },
  };
  const plan = publishedPlan(smallStudy({ mapping }));
  const text = JSON.stringify(plan);
  equal(/Dr [AB]/.test(text), false);
  match(text, /"Operator":\{"column":"surgeon","codes":"2, not published"\}/);
  match(text, /"codes":\{"w":"F","m":"M"\}/);
});

Deno.test("mappingTree() calls a column of the study's own by its label", () => {
  const own = { label: "Frailty index", unit: "points", type: "number", range: [0, 10] };
  const html = htmlText(mappingTree(smallStudy({
    columns: [{ name: "frailty", stage: "pre-operative", ...own }],
    mapping: { patients: { Fx: { column: "frailty", codes: { low: 2 } } } },
  })));
  match(html, /“Fx”, 1 code, to frailty index/);
});
