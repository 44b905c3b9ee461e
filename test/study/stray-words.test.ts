import { deepEqual, equal, match, throws } from "node:assert/strict";
import fc from "fast-check";
import { parsePlan } from "../../lib/study/mod.ts";
import { strayWords } from "../../lib/study/plan/mod.ts";
import { smallPlan } from "../cohort/small-cohort.ts";
import { demo } from "../hostile/cut-cohort.ts";

type Json = Record<string, unknown>;
const rules = {
  repair: { column: "ring_type", oneOf: ["rigid"] },
  replacement: { column: "ring_type", oneOf: ["flexible"] },
};
const strayIn = (changes: Json) => strayWords(parsePlan({ ...smallPlan, ...changes }));
const demoPlan = (name: string, change: (plan: Json) => void = () => {}) => {
  const plan = JSON.parse(Deno.readTextFileSync(demo(name)));
  change(plan);
  return parsePlan(plan);
};

Deno.test("groups are called by how the plan takes them, unless it names them", () => {
  const labels = (groups: Json) => {
    const { repair, replacement } = parsePlan({ ...smallPlan, groups }).groups;
    return [repair, replacement];
  };
  deepEqual(labels({ by: "intended" }), ["Repair intended", "Replacement intended"]);
  deepEqual(labels({ by: "final" }), ["Repair completed", "Replacement completed"]);
  deepEqual(labels({ by: "final", repair: "Mended" }), ["Mended", "Replacement completed"]);
  deepEqual(labels({ by: "rules", repair: "Rigid", replacement: "Flexible", rules }), [
    "Rigid",
    "Flexible",
  ]);
  throws(() => labels({ by: "rules", repair: "Rigid", rules }), {
    message: /groups\.replacement: needed with by: "rules"/,
  });
});

Deno.test("strayWords() has nothing against either demonstration, whichever way the groups are taken", () => {
  for (const name of ["study.json", "second-centre/study.json"]) {
    for (const by of ["intended", "final"]) {
      deepEqual(strayWords(demoPlan(name, (plan) => plan.groups = { by })), [], `${name} ${by}`);
    }
    const byRules = { by: "rules", repair: "Rigid", replacement: "Flexible", rules };
    deepEqual(strayWords(demoPlan(name, (plan) => plan.groups = byRules)), []);
  }
});

Deno.test("strayWords() names the field, the word, what the plan says and what to write", () => {
  const question = "Does an intended repair give more years of life?";
  const [found, ...others] = strayIn({ question, groups: { by: "final" } });
  deepEqual(others, []);
  equal(found!.where, "question");
  match(found!.what, /“intended repair”.*by the final operation \(groups\.by\)/);
  match(found!.remedy, /“completed repair”.*, or change groups\.by$/);
  deepEqual(strayIn({ question, groups: { by: "intended" } }), []);
});

// every option of groups.by, in every text by which a reader takes the groups
const said: Record<string, readonly string[]> = {
  intended: ["Intended repair", "Replacements intended", "An intention-to-treat look at valves"],
  final: ["Completed repair", "Valve repair completed", "Valves compared as treated"],
};
const places: Record<string, (text: string, groups: Json) => Json> = {
  title: (title, groups) => ({ title, groups }),
  question: (question, groups) => ({ question, groups }),
  "groups.repair": (repair, groups) => ({ groups: { ...groups, repair } }),
  "groups.replacement": (replacement, groups) => ({ groups: { ...groups, replacement } }),
  "populations[0].label": (label, groups) => ({ groups, populations: [{ id: "all", label }] }),
  "endpoints[0].label": (label, groups) => ({
    groups,
    endpoints: [{ id: "death", label }],
  }),
};
const ways: Record<string, Json> = {
  intended: { by: "intended" },
  final: { by: "final" },
  rules: { by: "rules", repair: "Rigid", replacement: "Flexible", rules },
};

Deno.test("strayWords() finds the words of any other way to take the groups, and only those, anywhere", () => {
  const words = Object.entries(said).flatMap(([by, list]) => list.map((text) => ({ by, text })));
  fc.assert(
    fc.property(
      fc.constantFrom(...Object.keys(ways)),
      fc.constantFrom(...words),
      fc.constantFrom(...Object.keys(places)),
      (by, word, place) => {
        const found = strayIn(places[place]!(word.text, ways[by]!));
        deepEqual(found.map(({ where }) => where), by === word.by ? [] : [place]);
      },
    ),
    { numRuns: 200 },
  );
});

Deno.test("strayWords() leaves words alone that rules make true", () => {
  const intended = (operation: string) => ({ column: "intended", oneOf: [operation] });
  const groups = {
    by: "rules",
    repair: "Repair intended",
    replacement: "Replacement intended",
    rules: { repair: intended("repair"), replacement: intended("replacement") },
  };
  deepEqual(strayIn({ groups }), []);
  const populations = [{ id: "r", label: "Repair intended", rule: intended("repair") }];
  deepEqual(strayIn({ groups: { by: "final" }, populations }), []);
});

Deno.test("strayWords() tells of patients, and of partners, that the plan does not ask for", () => {
  const asked = (question: string, changes: Json) =>
    strayIn({ question, ...changes }).map(({ what }) => /\((.*)\)$/.exec(what)![1]);
  const either = "In those who could have had either operation, which lasts?";
  deepEqual(asked(either, { estimand: "everyone" }), ["estimand"]);
  deepEqual(asked(either, { estimand: "overlap" }), []);
  deepEqual(asked("Which lasts in everyone?", { estimand: "treated" }), ["estimand"]);
  deepEqual(asked("Which lasts in the treated?", { estimand: "overlap" }), ["estimand"]);
  const pairs = "Which lasts in matched pairs?";
  deepEqual(asked(pairs, { matching: { partners: 3 } }), ["matching.partners"]);
  deepEqual(asked(pairs, { matching: { partners: 1 } }), []);
  deepEqual(asked("Which lasts in a 1:3 match?", {}), ["matching.partners"]);
});

Deno.test("strayWords() takes no word for an option that may be about anything", () => {
  const neutral = [
    "Patients intended for surgery: who completed follow-up?",
    "Is it intended that all patients return, and were pairs of leaflets overlapping?",
    "Does everyone with a leak come to theatre?",
    "The final answer on repair or replacement, and what was planned at the start",
    "Residual regurgitation on leaving theatre after repair or replacement",
    "Did treated patients do better?",
  ];
  for (const title of neutral) {
    for (const groups of Object.values(ways)) {
      for (const estimand of ["everyone", "treated", "overlap"]) {
        deepEqual(strayIn({ title, groups, estimand }), [], title);
      }
    }
  }
});
