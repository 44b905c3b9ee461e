/** A value missing in the file. */
export type Blank = "";

/** One row of the patients file, columns in file order, as the dictionary names them. */
export interface PatientRow {
  id: string;
  op_year: number;
  surgeon: string;
  case_seq: number;
  age: number;
  sex: "F" | "M";
  bsa: number | Blank;
  nyha: number;
  af_pre: "none" | "paroxysmal" | "persistent";
  diabetes: 0 | 1;
  hypertension: 0 | 1;
  copd: 0 | 1;
  egfr: number | Blank;
  prior_mi: 0 | 1;
  cad_vessels: number;
  prior_stroke: 0 | 1;
  redo: 0 | 1;
  urgency: "elective" | "urgent" | "emergency" | "salvage";
  ie_active: 0 | 1;
  risk_pct: number | Blank;
  aetiology: string;
  leaflet: "posterior" | "anterior" | "both" | Blank;
  mr_pre: number;
  eroa: number | Blank;
  rvol: number | Blank;
  rf: number | Blank;
  vc: number | Blank;
  lvef: number;
  lvedd: number;
  lvesd: number;
  tether: number | Blank;
  ipmd: number | Blank;
  ipmd_phase: "systole" | "diastole" | Blank;
  pasp: number | Blank;
  tr_pre: number;
  approach: "sternotomy" | "mini" | "robotic";
  intended: "repair" | "replacement";
  final: "repair" | "replacement";
  convert_reason: string;
  ring_type: "none" | "rigid" | "semirigid" | "flexible" | "band" | Blank;
  ring_mm: number | Blank;
  adjuncts: string;
  prosthesis: "mechanical" | "bioprosthesis" | Blank;
  chordal_sparing: "none" | "posterior" | "complete" | Blank;
  cabg_grafts: number;
  af_ablation: 0 | 1;
  tricuspid: "none" | "repair" | "replacement";
  cpb: number;
  clamp: number;
  mr_exit: number | Blank;
  grad_exit: number | Blank;
  stroke_30: 0 | 1;
  bleed_reop: 0 | 1;
  new_dialysis: 0 | 1;
  los: number;
  fu_days: number;
  dead: 0 | 1;
  death_cause: "valve" | "cardiac" | "noncardiac" | "unknown" | Blank;
  reint: 0 | 1;
  reint_day: number | Blank;
  reint_reason: "MR" | "stenosis" | "endocarditis" | "thrombosis" | "other" | Blank;
}

/** One row of the echo visits file. */
export interface VisitRow {
  id: string;
  day: number;
  mr: number;
  lvef: number | Blank;
  lvedd: number | Blank;
  lvesd: number | Blank;
  gradient: number | Blank;
  reason: "scheduled" | "symptoms";
}
