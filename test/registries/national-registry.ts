import { stringify } from "csv-stringify/sync";
import { drawn, type Registry } from "./invented.ts";

/** A national file: English names, coded values, follow-up in months and days, no dates. */
export function nationalRegistry(n = 12_000): Registry {
  const { patients, visits } = drawn(33, n, 5_000_001);
  const rows = patients.map((row) => ({
    "Patient ID": row.number,
    "Operation year": row.op_year,
    "Case number": row.case_seq,
    "Age at operation": row.age,
    "Gender": row.sex === "F" ? 2 : 1,
    "NYHA class": row.nyha,
    "Atrial fibrillation": { none: 0, paroxysmal: 1, persistent: 2 }[row.af_pre],
    "Diabetes mellitus": row.diabetes,
    "eGFR": row.egfr,
    "COPD": row.copd,
    "Previous MI": row.prior_mi,
    "Previous cardiac surgery": row.redo,
    "Urgency": row.urgency,
    "Active endocarditis": row.ie_active,
    "Etiology": row.aetiology,
    "Prolapsing leaflet": row.leaflet,
    "Tethering mm": row.tether,
    "Preop MR": row.mr_pre,
    "Ejection fraction": row.lvef,
    "LVEDD mm": row.lvedd,
    "LVESD mm": row.lvesd,
    "Planned procedure": row.intended,
    "Performed procedure": row.final,
    "Exit MR": row.mr_exit,
    "Follow up days": row.fu_days,
    "Died": row.dead,
    "Reintervention": row.reint,
    "Time to reintervention (days)": row.reint_day,
    "Region": "North",
  }));
  const echoes = visits.map((row) => ({
    "Patient ID": row.number,
    "Echo day (days)": row.day,
    "MR grade": row.mr,
    "EF": row.lvef,
    "Mean gradient mmHg": row.gradient,
  }));
  return {
    files: {
      "national.csv": stringify(rows, { header: true }),
      "national-echo.csv": stringify(echoes, { header: true }),
    },
    patients,
    visits,
  };
}
