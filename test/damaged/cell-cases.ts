import { csvOf, patientsOf, replaced } from "../cohort/small-cohort.ts";
import {
  add,
  code,
  dates,
  impossible,
  number,
  soundVisits,
  withRow,
  words,
} from "./sound-and-damaged.ts";

// ---- cells of a type that the column does not have
// ------------------------------------------------
add("letter-in-number.csv", withRow({ lvef: "5O" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("hexadecimal.csv", withRow({ lvef: "0x32" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("infinite.csv", withRow({ lvef: "Infinity" }), [
  // a word that stands once, with a capital letter
  "structural: @, lvef: line 3: 1 cell that could be names; remove names; give patients random " +
  "pseudonyms and surgeons codes such as S1",
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("decimal-comma.csv", withRow({ lvef: "55,5", age: 61.5 }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("thousand.csv", withRow({ fu_days: "1,826" }), [
  `error: @, fu_days: 1 row, line 3: is not a number; ${number}`,
]);
add("percent-sign.csv", withRow({ lvef: "55%" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("greater-than.csv", withRow({ lvedd: ">60" }), [
  `error: @, lvedd: 1 row, line 3: is not a number; ${number}`,
]);
add("missing-word.csv", withRow({ lvef: "NK" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("wrong-code.csv", withRow({ sex: "f" }), [
  `error: @, sex: 1 row, line 3: is not one of F, M, unknown; ${code}`,
]);
add("yes-for-one.csv", withRow({ diabetes: "yes" }), [
  `error: @, diabetes: 1 row, line 3: is not a number; ${number}`,
]);
add("half-a-grade.csv", withRow({ mr_pre: 2.5 }), [
  `error: @, mr_pre: 1 row, line 3: not a whole number; ${impossible}`,
]);
add("date-in-column.csv", withRow({ fu_days: "2014-03-02" }), [
  `structural: @, fu_days: 1 row, line 3: looks like a date; ${dates}`,
]);
add("remark-in-code.csv", withRow({ approach: "converted after bleeding" }), [
  `structural: @, approach: 1 row, line 3: looks like free text; ${words}`,
]);

// ---- values that cannot be
// ------------------------------------------------------------------------
const hard = (column: string, range: string) =>
  `error: @, ${column}: 1 row, line 3: not between ${range}; ${impossible}`;
add("negative-days.csv", withRow({ fu_days: -3 }), [
  hard("fu_days", "0 and 15000 days from operation"),
]);
add("class-five.csv", withRow({ nyha: 5 }), [hard("nyha", "1 and 4")]);
add("minus-nine.csv", withRow({ lvef: -9 }), [hard("lvef", "5 and 85 %")]);
add("child.csv", withRow({ age: 7 }), [hard("age", "18 and 90 years")]);
add("old-age.csv", withRow({ age: 94 }), [
  "structural: @, age: 1 row, line 3: above 90, which can identify a patient; write 90 for 90 and " +
  "over",
]);
add("blank-outcome.csv", withRow({ dead: "" }), [
  "error: @, dead: 1 row, line 3: is blank; each row must have a value here",
]);
add("blank-pseudonym.csv", withRow({ id: "" }), [
  "structural: @, id: 1 row, line 3: is blank; each row must have a value here",
]);
add(
  "centimetres.csv",
  csvOf(patientsOf([{ lvedd: 5.5 }, { lvedd: 6 }].map((row) => ({
    lvesd: 3.5,
    ...row,
  })))),
  [
    "structural: @, lvedd: its median of 6 says centimetres; give it in millimetres; nothing is " +
    "converted by guess",
    "structural: @, lvesd: its median of 3.5 says centimetres; give it in millimetres; nothing is " +
    "converted by guess",
  ],
);
add("fractions.csv", csvOf(patientsOf([{ lvef: 0.55 }, { lvef: 0.6 }])), [
  "structural: @, lvef: its median of 0.6 says fractions; give it in percent; nothing is converted " +
  "by guess",
]);

// ---- cells that contradict each other
// -------------------------------------------------------------
add("systole-over-diastole.csv", withRow({ lvesd: 60 }), [
  "error: @, lvesd: 1 row, line 3: is not below the end-diastolic diameter; correct lvesd or lvedd",
]);
add("ring-on-replacement.csv", withRow({ ...replaced, ring_type: "rigid", ring_mm: 30 }), [
  "error: @, ring_mm: 1 row, line 3: is filled although final is not repair; correct final, or " +
  "leave it blank",
  "error: @, ring_type: 1 row, line 3: is filled although final is not repair; correct final, or " +
  "leave it blank",
]);
add("stay-over-follow-up.csv", withRow({ los: 40, fu_days: 30 }), [
  "error: @, los: 1 row, line 3: is longer than the follow-up; correct los or fu_days",
]);
add("conversion-contradicts.csv", withRow({ convert_reason: "exposure" }), [
  "error: @, convert_reason: 1 row, line 3: is filled although intended and final procedure are " +
  "the same; correct intended or final, or leave it blank",
]);
add("conversion-unexplained.csv", withRow({ ...replaced, intended: "repair" }), [
  "warning: @, convert_reason: 1 row, line 3: is blank although intended and final procedure " +
  "differ; add the reason; the patient is counted as converted, reason not recorded",
]);
add("cause-while-alive.csv", withRow({ death_cause: "cardiac" }), [
  "error: @, death_cause: 1 row, line 3: is filled although dead is not 1; correct dead, or leave " +
  "it blank",
]);
add("late-reintervention.csv", withRow({ reint: 1, reint_day: 2000, reint_reason: "MR" }), [
  "error: @, reint_day: 1 row, line 3: is after the end of follow-up; correct reint_day or fu_days",
]);
add("not-followed.csv", withRow({ fu_days: 0 }), [
  "error: @, fu_days: 1 row, line 3: is 0 although the patient did not die in theatre; correct " +
  "fu_days or dead; who is lost on leaving was followed to the last day seen",
]);
add("after-closing.csv", withRow({ op_year: 2025 }), [
  "error: @, op_year: 1 row, line 3: is after 2024.5, when the study closed; correct it, or " +
  "timeZero.closingYear in the study file",
  "warning: @, case_seq: falls between 2012 and 2025; check case_seq and op_year: learning curves " +
  "need the order of operations",
]);
add(
  "patient-twice.csv",
  csvOf(patientsOf([{}, {}, { ...replaced, id: "P0001" }, { id: "P0003" }])),
  [
    "structural: @, id: 1 row, line 4: has the pseudonym of line 2; keep one row a patient; which one " +
    "is for somebody who knows the patient",
  ],
);
add("operation-twice.csv", withRow({ case_seq: 1 }), [
  "error: @, case_seq: 2 rows, first on line 2: has the place in the series of line 3; check for an " +
  "operation entered twice; both rows are set aside",
]);

// ---- visits
// ---------------------------------------------------------------------------------------
add("visits-of-nobody.csv", soundVisits + "P0009,30,0,50\n", [
  "error: @, id: 1 row, line 5: is the pseudonym of nobody in the patients table; add the " +
  "patient, or remove the visit",
]);
add("visits-after-death.csv", soundVisits + "P0002,1900,0,50\n", [
  "error: @, day: 1 row, line 5: is after the end of the patient's follow-up; correct day or fu_days",
]);
add("visits-twice.csv", soundVisits + "P0001,400,2,50\n", [
  "error: @, day: 1 row, line 5: is the day of another visit of the patient; keep one of them",
]);
add("visits-without-grade.csv", soundVisits + "P0002,400,,50\n", [
  "error: @, mr: 1 row, line 5: is blank; each row must have a value here",
]);
add("visits-before.csv", soundVisits + "P0002,-5,0,50\n", [
  `error: @, day: 1 row, line 5: not between 0 and 15000 days from operation; ${impossible}`,
]);
add("visits-impossible.csv", soundVisits + "P0002,500,0,95\n", [
  `error: @, lvef: 1 row, line 5: not between 5 and 85 %; ${impossible}`,
]);

// ---- mapped files that do not keep to their mapping
// ------------------------------------------------
const seen = withRow({}).replace("fu_days", "last_seen").replaceAll(",1826,", ",2017-01-05,")
  .replace("\n", ",operated\n").replaceAll(",0,,\n", ",0,,,2012-01-05\n");
const interval = (order: string) => ({
  mapping: {
    derived: {
      patients: [
        { rule: "days-between", column: "fu_days", from: "operated", to: "last_seen", order },
      ],
      visits: [],
    },
  },
});
add("date-unreadable.csv", seen.replace("2017-01-05", "2017-02-31"), [
  "error: @, fu_days: 1 row, line 2: cannot be worked out: a date is not one written year-first; " +
  "correct the values it is worked out from, or the order in the study file's mapping",
], interval("year-first"));
add("date-before.csv", seen.replace("2017-01-05", "2010-01-05"), [
  "error: @, fu_days: 1 row, line 2: not between 0 and 15000 days from operation; " + impossible,
], interval("year-first"));
add("code-not-mapped.csv", withRow({ sex: "X" }).replaceAll(",F,", ",w,"), [
  `error: @, sex: 1 row, line 3: is not one of F, M, unknown; ${code}`,
], { mapping: { patients: { sex: { column: "sex", codes: { W: "F" } } } } });
