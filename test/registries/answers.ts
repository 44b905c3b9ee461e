/** What a person answers to a registry's questions; all else is answered by agreeing. */
export interface PersonsAnswers {
  start: { cohort: string; visits: string };
  answers: Record<string, string>;
}

export const german: PersonsAnswers = {
  start: { cohort: "patienten.csv", visits: "echos.csv" },
  answers: {
    "patients.Status": "dead",
    "patients.Status.dead.values": "1=alive; 2=dead",
    "patients.Dringlichkeit": "urgency",
    "patients.Dringlichkeit.urgency.values":
      "elektiv=elective; dringlich=urgent; Notfall=emergency; Reanimation=salvage",
    "patients.Vorhofflimmern.af_pre.values": "kein=none; permanent=persistent",
    "patients.Prolaps": "leaflet",
    "patients.Prolaps.leaflet.values": "beide=both",
    "patients.Geplanter Eingriff": "intended",
    "patients.Durchgeführter Eingriff": "final",
    "patients.Geplanter Eingriff.intended.values": "Rekonstruktion=repair; Ersatz=replacement",
    "patients.Durchgeführter Eingriff.final.values": "Rekonstruktion=repair; Ersatz=replacement",
    "patients.Voroperation": "redo",
    "visits.Datum": "visit",
    "study.closing-year": "2024.5",
  },
};

export const ofWorkbook: PersonsAnswers = {
  start: { cohort: "registry.xlsx", visits: "same" },
  answers: {
    "patients.id": "Patient: Pat No",
    "patients.Outcome: Vital status": "dead",
    "patients.Before operation: Preop MR": "mr_pre",
    "patients.Before operation: Preop EF": "lvef",
    "patients.Operation: Exit MR": "mr_exit",
    "patients.Operation: Procedure text": "text",
    "study.closing-year": "2024.5",
  },
};

export const national: PersonsAnswers = {
  start: { cohort: "national.csv", visits: "national-echo.csv" },
  answers: {
    "patients.Gender.sex.values": "1=M; 2=F",
    "patients.Atrial fibrillation.af_pre.values": "0=none; 1=paroxysmal; 2=persistent",
    "study.closing-year": "2024.5",
  },
};
