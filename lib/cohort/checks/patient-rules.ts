import type { Finding } from "../table/mod.ts";

/** The values of a table, by column and row. */
export type Cells = {
  number: (name: string, row: number) => number;
  text: (name: string, row: number) => string;
};

/** What compares the cells of one patient. */
export interface PatientRule extends Pick<Finding, "rule" | "severity" | "message" | "remedy"> {
  /** The column the problem is listed under. */
  column: string;
  /** Columns it is compared with, whose values are listed beside its own. */
  beside?: string[];
  /** Whether a row breaks the rule. A missing value breaks none: comparisons with NaN are false. */
  broken: (row: number, cells: Cells) => boolean;
}

const onlyWith = (column: string, other: string, value: string): PatientRule => ({
  rule: `only-with-${other}`,
  severity: "error",
  column,
  beside: [other],
  message: `is filled although ${other} is not ${value}`,
  remedy: `correct ${other}, or leave it blank`,
  broken: (row, { number, text }) =>
    isFilled(column, row, { number, text }) && valueOf(other, row, { number, text }) !== value &&
    valueOf(other, row, { number, text }) !== "",
});

/** The rules that compare the cells of a patient's row. */
export const patientRules: readonly PatientRule[] = [
  {
    rule: "clamp-in-bypass",
    severity: "error",
    column: "clamp",
    beside: ["cpb"],
    message: "is longer than the bypass time",
    remedy: "correct clamp or cpb",
    broken: (row, { number }) => number("clamp", row) > number("cpb", row),
  },
  {
    rule: "systole-below-diastole",
    severity: "error",
    column: "lvesd",
    beside: ["lvedd"],
    message: "is not below the end-diastolic diameter",
    remedy: "correct lvesd or lvedd",
    broken: (row, { number }) => number("lvesd", row) >= number("lvedd", row),
  },
  onlyWith("ring_mm", "final", "repair"),
  {
    ...onlyWith("ring_type", "final", "repair"),
    broken: (row, { text }) =>
      text("ring_type", row) !== "" && text("ring_type", row) !== "none" &&
      text("final", row) === "replacement",
  },
  {
    rule: "ring-size-without-ring",
    severity: "error",
    column: "ring_mm",
    beside: ["ring_type"],
    message: "is filled although there is no ring",
    remedy: "correct ring_type, or leave it blank",
    broken: (row, { number, text }) =>
      number("ring_mm", row) > 0 && text("ring_type", row) === "none",
  },
  onlyWith("prosthesis", "final", "replacement"),
  onlyWith("chordal_sparing", "final", "replacement"),
  {
    rule: "conversion-reason",
    severity: "error",
    column: "convert_reason",
    beside: ["intended", "final"],
    message: "is filled although intended and final procedure are the same",
    remedy: "correct intended or final, or leave it blank",
    broken: (row, { text }) =>
      text("convert_reason", row) !== "" && text("intended", row) === text("final", row),
  },
  {
    rule: "conversion-reason-missing",
    severity: "warning",
    column: "convert_reason",
    beside: ["intended", "final"],
    message: "is blank although intended and final procedure differ",
    remedy: "add the reason; the patient is counted as converted, reason not recorded",
    broken: (row, { text }) =>
      text("convert_reason", row) === "" && text("intended", row) !== "" &&
      text("final", row) !== "" && text("intended", row) !== text("final", row),
  },
  {
    rule: "stay-in-follow-up",
    severity: "error",
    column: "los",
    beside: ["fu_days"],
    message: "is longer than the follow-up",
    remedy: "correct los or fu_days",
    broken: (row, { number }) => number("los", row) > number("fu_days", row),
  },
  {
    rule: "no-follow-up",
    severity: "error",
    column: "fu_days",
    beside: ["dead"],
    message: "is 0 although the patient did not die in theatre",
    remedy: "correct fu_days or dead; who is lost on leaving was followed to the last day seen",
    broken: (row, { number }) => number("fu_days", row) === 0 && number("dead", row) !== 1,
  },
  onlyWith("death_cause", "dead", "1"),
  onlyWith("reint_day", "reint", "1"),
  onlyWith("reint_reason", "reint", "1"),
  {
    rule: "reintervention-in-follow-up",
    severity: "error",
    column: "reint_day",
    beside: ["fu_days"],
    message: "is after the end of follow-up",
    remedy: "correct reint_day or fu_days",
    broken: (row, { number }) => number("reint_day", row) > number("fu_days", row),
  },
  {
    rule: "ischaemic-without-coronary-disease",
    severity: "warning",
    column: "aetiology",
    beside: ["prior_mi", "cad_vessels"],
    message: "is ischaemic without previous infarction or coronary disease",
    remedy: "check aetiology, prior_mi and cad_vessels",
    broken: (row, { number, text }) =>
      text("aetiology", row) === "ischaemic" && number("prior_mi", row) === 0 &&
      number("cad_vessels", row) === 0,
  },
  {
    rule: "endocarditis",
    severity: "warning",
    column: "ie_active",
    beside: ["aetiology"],
    message: "does not agree with the aetiology",
    remedy: "check aetiology and ie_active",
    broken: (row, { number, text }) =>
      text("aetiology", row) !== "" && !Number.isNaN(number("ie_active", row)) &&
      (text("aetiology", row) === "endocarditis") !== (number("ie_active", row) === 1),
  },
  {
    rule: "mechanism",
    severity: "warning",
    column: "aetiology",
    beside: ["tether", "leaflet"],
    message: "is degenerative with tethering above 10 mm, or secondary with a prolapsing leaflet",
    remedy: "check aetiology, tether and leaflet",
    broken: (row, { number, text }) =>
      text("aetiology", row) === "degenerative"
        ? number("tether", row) > 10
        : ["ischaemic", "functional_nonischaemic"].includes(text("aetiology", row)) &&
          text("leaflet", row) !== "",
  },
  {
    rule: "phase",
    severity: "warning",
    column: "ipmd_phase",
    beside: ["ipmd"],
    message: "is blank although the interpapillary distance is given",
    remedy: "add the phase: the distance means little without it",
    broken: (row, { number, text }) => number("ipmd", row) > 0 && text("ipmd_phase", row) === "",
  },
];

function isFilled(name: string, row: number, cells: Cells): boolean {
  return cells.text(name, row) !== "" || !Number.isNaN(cells.number(name, row));
}

function valueOf(name: string, row: number, cells: Cells): string {
  const number = cells.number(name, row);
  return Number.isNaN(number) ? cells.text(name, row) : String(number);
}
