import type { SeededRandom } from "../../numerics/mod.ts";
import type { Blank, PatientRow, VisitRow } from "../rows/mod.ts";

/** One cell of the second centre's files. */
export type SecondCell = string | number;
/** One row of the second centre's sheet of operations, by heading. */
export type SecondPatient = Record<string, SecondCell>;
/** One row of its export of echocardiograms: text, with decimal commas. */
export type SecondVisit = Record<string, string>;

const daysPerMonth = 365.25 / 12;

const aetiologies: Record<string, string> = {
  degenerative: "DEG",
  ischaemic: "ISCH",
  functional_nonischaemic: "FMR",
  rheumatic: "RHD",
  endocarditis: "IE",
  other: "OTH",
};
const urgencies = { elective: "planned", urgent: "urgent", emergency: "emergency", salvage: "CPR" };
const rhythms = { none: "SR", paroxysmal: "PAF", persistent: "AF" };
const approaches = { sternotomy: "FS", mini: "MIN", robotic: "ROB" };
const conversions: Record<string, string> = {
  "": "",
  residual_regurgitation: "res MR",
  systolic_anterior_motion: "SAM",
  stenosis: "MS",
  tissue_quality: "tissue",
  exposure: "exposure",
  repair_possible: "repairable",
  other: "other",
};
const adjuncts: Record<string, string> = {
  chordal_cutting: "Chordal cutting",
  pm_approximation: "PM approximation",
  pm_relocation: "PM relocation",
  neochordae: "Neochordae",
  resection: "Resection",
  edge_to_edge: "Edge to edge",
};

/** Writes a patient as the second centre does. */
export function secondPatient(row: PatientRow, random: SeededRandom): SecondPatient {
  const yes = (value: 0 | 1) => {
    const code = value ? "Y" : "N";
    // typed by hand: now and then in lower case, or with a space after it
    return random.uniform() < 0.03
      ? code.toLowerCase()
      : random.uniform() < 0.02
      ? `${code} `
      : code;
  };
  const missing =
    (code: SecondCell) => (value: number | Blank, scale = 1, digits = 2): SecondCell =>
      value === "" ? code : round(value * scale, digits);
  const orMinus9 = missing(-9);
  const orUnknown = missing("NK");
  const body = bodyOf(row, random);
  const given = row.adjuncts.split(";");
  return {
    "Patient": row.id,
    "Op year": row.op_year,
    "Sequence": row.case_seq,
    "Operator": "ABCD"[Number(row.surgeon.slice(1)) - 1]!,
    "Age": row.age,
    "Gender": row.sex === "F" ? "female" : "male",
    ...body,
    "NYHA": ["I", "II", "III", "IV"][row.nyha - 1]!,
    "Rhythm": rhythms[row.af_pre],
    "DM": yes(row.diabetes),
    "HTN": yes(row.hypertension),
    "COPD": yes(row.copd),
    "GFR": orMinus9(row.egfr),
    "Prior MI": yes(row.prior_mi),
    "Vessels": row.cad_vessels,
    "Prior stroke": yes(row.prior_stroke),
    "Redo": yes(row.redo),
    "Priority": urgencies[row.urgency],
    "Active IE": yes(row.ie_active),
    "Predicted risk": orMinus9(row.risk_pct, 0.01, 4),
    "Aetiology": aetiologies[row.aetiology]!,
    "Prolapse": row.leaflet === ""
      ? "."
      : row.leaflet === "both"
      ? "AP"
      : row.leaflet[0]!.toUpperCase(),
    "MR": `${row.mr_pre}+`,
    "EROA mm2": missing(999)(row.eroa, 100, 0),
    "RVol": missing(999)(row.rvol),
    "RF": orMinus9(row.rf, 0.01, 2),
    "VC mm": orMinus9(row.vc, 10, 1),
    "EF": round(row.lvef / 100, 2),
    "LVIDd cm": round(row.lvedd / 10, 1),
    "LVIDs cm": round(row.lvesd / 10, 1),
    "Tenting cm": row.tether === "" ? "" : round(row.tether / 10, 2),
    "PM distance cm": row.ipmd === "" ? "" : round(row.ipmd / 10, 2),
    "PM phase": row.ipmd_phase === "" ? "" : row.ipmd_phase === "systole" ? "S" : "D",
    "sPAP": orUnknown(row.pasp),
    "TR": row.tr_pre,
    "Access": approaches[row.approach],
    "Intended": row.intended === "repair" ? "REP" : "MVR",
    "Performed": row.final === "repair" ? "REP" : "MVR",
    "Why changed": conversions[row.convert_reason]!,
    "Ring": row.ring_type,
    "Ring size": row.ring_mm,
    ...Object.fromEntries(
      Object.entries(adjuncts).map(([ours, theirs]) => [theirs, yes(given.includes(ours) ? 1 : 0)]),
    ),
    "Valve": row.prosthesis === "" ? "" : row.prosthesis === "mechanical" ? "mech" : "bio",
    "Chordae kept": row.chordal_sparing === "" ? "" : row.chordal_sparing[0]!.toUpperCase(),
    "Grafts": row.cabg_grafts,
    "Maze": yes(row.af_ablation),
    "TV": row.tricuspid === "none" ? "-" : row.tricuspid === "repair" ? "ring" : "valve",
    "CPB min": row.cpb,
    "Clamp min": row.clamp,
    "MR exit": row.mr_exit === "" ? "" : `${row.mr_exit}+`,
    "Gradient exit": orUnknown(row.grad_exit, 1, 1),
    "Stroke 30d": yes(row.stroke_30),
    "Re-exploration": yes(row.bleed_reop),
    "Dialysis": yes(row.new_dialysis),
    "LOS days": row.los,
    "Follow-up months": round(row.fu_days / daysPerMonth, 2),
    "Status": row.dead ? "dead" : "alive",
    "Cause": row.death_cause === "" ? "" : row.death_cause[0]!.toUpperCase(),
    "Reintervention": yes(row.reint),
    "Reintervention months": row.reint_day === "" ? "" : round(row.reint_day / daysPerMonth, 2),
    "Reintervention for": row.reint_reason,
    "Ward": `W${1 + random.integer(4)}`,
  };
}

/** Writes an echocardiogram as the second centre's export does. */
export function secondVisit(row: VisitRow, random: SeededRandom): SecondVisit {
  const comma = (value: number | Blank, scale: number, digits: number, code: string) =>
    value === "" ? code : round(value * scale, digits).toString().replace(".", ",");
  return {
    "Patient": row.id,
    "Weeks after surgery": comma(row.day, 1 / 7, 2, ""),
    "MR": `${row.mr}+`,
    "EF": comma(row.lvef, 0.01, 2, random.uniform() < 0.5 ? "NK" : ""),
    "LVIDd cm": comma(row.lvedd, 0.1, 1, ""),
    "LVIDs cm": comma(row.lvesd, 0.1, 1, ""),
    "Mean gradient": comma(row.gradient, 1, 1, "-9"),
    "Symptoms": row.reason === "symptoms" ? "Y" : "N",
  };
}

/** A height, and the weight that gives the body surface the patient has (Mosteller 1987). */
function bodyOf(
  { bsa, sex }: PatientRow,
  random: SeededRandom,
): { "Height cm": SecondCell; "Weight kg": SecondCell } {
  const height = Math.round((sex === "F" ? 163 : 176) + 6 * random.normal());
  if (bsa === "") return { "Height cm": height, "Weight kg": "" };
  return { "Height cm": height, "Weight kg": round(bsa ** 2 * 3600 / height, 1) };
}

function round(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}
