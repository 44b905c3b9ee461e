import { stringify } from "csv-stringify/sync";
import type { PatientRow, VisitRow } from "../../lib/simulate/rows/rows.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { sheetXml, workbook, type WorkbookCell } from "../damaged/workbook.ts";

/** An invented registry: its files, and the rows behind them under its own record numbers. */
export interface Registry {
  files: Record<string, string | Uint8Array<ArrayBuffer>>;
  patients: (PatientRow & { number: string })[];
  visits: (VisitRow & { number: string })[];
}

const day = 86_400_000;

/** Rows with record numbers and days of operation, in the order of operation. */
export function drawn(seed: number, n: number, first: number) {
  const { patients, visits } = simulateCohort({ seed, n });
  const ofYear = Map.groupBy(patients, ({ op_year }) => op_year);
  const start = new Map<string, number>();
  for (const [year, rows] of ofYear) {
    rows.forEach(({ id }, i) =>
      start.set(id, Date.UTC(year, 0, 2) + day * Math.floor(355 * i / rows.length))
    );
  }
  const numbers = new Map(patients.map(({ id }, i) => [id, String(first + 7 * i)]));
  const dateOf = (id: string, after: number) => new Date((start.get(id) ?? 0) + day * after);
  // somebody of 63 was born between 63 and 64 years before
  const bornOn = ({ id, age }: PatientRow) => {
    const date = dateOf(id, -40);
    date.setUTCFullYear(date.getUTCFullYear() - age);
    return date;
  };
  return {
    patients: patients.map((row) => ({ ...row, number: numbers.get(row.id)! })),
    visits: visits.map((row) => ({ ...row, number: numbers.get(row.id)! })),
    dateOf,
    bornOn,
  };
}

const german = (date: Date) => date.toISOString().slice(0, 10).split("-").reverse().join(".");
const comma = (value: number | "") => String(value).replace(".", ",");
const micromoles = (creatinine: number | "") =>
  creatinine === "" ? "" : Number((88.4 * creatinine).toFixed(1));
const roman = ["0", "I", "II", "III", "IV"];
const named = <K extends string | number>(words: Record<K, string>) => (key: K) => words[key];
const yes = named({ 0: "nein", 1: "ja" });
const surgeonNames: Record<string, string> = {
  S1: "Erfunden, A.",
  S2: "Ausgedacht, B.",
  S3: "Beispiel, C.",
  S4: "Muster, D.",
  S5: "Niemand, E.",
  S6: "Platzhalter, F.",
};

/**
 * Serum creatinine in mg/dL from which the drawn filtration rate follows: the equation of 2021
 * (Inker and others, N Engl J Med 2021;385:1737) solved for creatinine.
 */
function creatinineOf({ egfr, age, sex }: PatientRow): number | "" {
  if (egfr === "") return "";
  const female = sex === "F";
  const [kappa, alpha] = female ? [0.7, -0.241] : [0.9, -0.302];
  const rest = egfr / (142 * 0.9938 ** age * (female ? 1.012 : 1));
  return Number((kappa * rest ** (1 / (rest > 1 ? alpha : -1.2))).toFixed(3));
}

/** A German CSV export: semicolons, decimal commas, dates, names, "55 %", a status of 1 and 2. */
export function germanRegistry(n = 400): Registry {
  const { patients, visits, dateOf, bornOn } = drawn(31, n, 700_101);
  const rows = patients.map((row) => ({
    "Pat-Nr": row.number,
    "Name": `Beispiel-${row.number}`,
    "Geburtsdatum": german(bornOn(row)),
    "OP-Datum": german(dateOf(row.id, 0)),
    "Operateur": surgeonNames[row.surgeon] ?? "Unbekannt, G.",
    "Geschlecht": row.sex === "F" ? "w" : "m",
    "Größe (cm)": "170",
    "Gewicht (kg)": row.bsa === "" ? "" : comma(Number((3600 * row.bsa ** 2 / 170).toFixed(1))),
    "NYHA präop": roman[row.nyha],
    "Vorhofflimmern":
      { none: "kein", paroxysmal: "paroxysmal", persistent: "permanent" }[row.af_pre],
    "Diabetes": yes(row.diabetes),
    "Kreatinin (mg/dl)": comma(creatinineOf(row)),
    "COPD": yes(row.copd),
    "Herzinfarkt": yes(row.prior_mi),
    "Voroperation": yes(row.redo),
    "Dringlichkeit":
      { elective: "elektiv", urgent: "dringlich", emergency: "Notfall", salvage: "Reanimation" }[
        row.urgency
      ],
    "Aktive Endokarditis": yes(row.ie_active),
    "Ätiologie": row.aetiology,
    "Prolaps": { "": "", posterior: "posterior", anterior: "anterior", both: "beide" }[row.leaflet],
    "Tethering (mm)": comma(row.tether),
    "MI-Grad präop": roman[row.mr_pre],
    "EF präop": `${comma(row.lvef)} %`,
    "LVEDD präop": comma(row.lvedd),
    "LVESD präop": comma(row.lvesd),
    "Geplanter Eingriff": row.intended === "repair" ? "Rekonstruktion" : "Ersatz",
    "Durchgeführter Eingriff": row.final === "repair" ? "Rekonstruktion" : "Ersatz",
    "MI-Grad postop": row.mr_exit === "" ? "" : roman[row.mr_exit],
    "Letzter Kontakt": german(dateOf(row.id, row.fu_days)),
    "Status": row.dead ? "2" : "1",
    "Todesdatum": row.dead ? german(dateOf(row.id, row.fu_days)) : "",
    "Datum Reintervention": row.reint ? german(dateOf(row.id, Number(row.reint_day))) : "",
    "Station": "3B",
  }));
  const echoes = visits.map((row) => ({
    "Pat-Nr": row.number,
    "Datum": german(dateOf(row.id, row.day)),
    // half of the mild to moderate ones are written as lying between two
    "MI-Grad": row.mr === 2 && row.day % 2 === 0 ? "I-II" : roman[row.mr],
    "EF": row.lvef === "" ? "" : `${comma(row.lvef)} %`,
    "LVEDD": comma(row.lvedd),
  }));
  const options = { header: true, delimiter: ";", bom: true, record_delimiter: "windows" } as const;
  return {
    files: { "patienten.csv": stringify(rows, options), "echos.csv": stringify(echoes, options) },
    patients,
    visits,
  };
}

/**
 * A workbook: a title, group names above the column names, merged cells, procedures in free text.
 */
export function workbookRegistry(n = 300): Registry {
  const { patients: all, visits, dateOf } = drawn(32, n, 1001);
  // this registry knows of no replacement that became a repair
  const patients = all.map((row) => row.final === "repair" ? { ...row, intended: row.final } : row);
  const serial = (date: Date) => ({ date: date.getTime() / day + 25_569 });
  const cell = (value: number | string): WorkbookCell => value;
  const text = (row: PatientRow) => {
    const ring = row.ring_mm === "" ? "" : ` with ring ${row.ring_mm}`;
    const grafts = row.cabg_grafts > 0 ? `, CABG ${row.cabg_grafts}` : "";
    const rest = `${row.tricuspid === "repair" ? ", tricuspid annuloplasty" : ""}${
      row.af_ablation ? ", maze" : ""
    }${grafts}`;
    if (row.intended === "repair" && row.final === "replacement") {
      return `MV repair attempted, conversion to ${
        row.prosthesis === "mechanical" ? "mechanical" : "tissue"
      } valve${rest}`;
    }
    return row.final === "repair"
      ? `MV repair${ring}${/neochordae/.test(row.adjuncts) ? ", chords" : ""}${rest}`
      : `MV replacement, ${row.prosthesis === "mechanical" ? "mechanical" : "tissue"} valve${rest}`;
  };
  const patientRows: WorkbookCell[][] = [
    ["Mitral registry, invented"],
    [],
    [
      "Patient",
      "",
      "",
      "",
      "Before operation",
      ...Array(12).fill(""),
      "Operation",
      "",
      "",
      "Outcome",
    ],
    [
      "Pat No",
      "Age",
      "Sex",
      "Diabetes",
      "NYHA class",
      "Preop MR",
      "Preop EF",
      "LVEDD (mm)",
      "Creatinine (umol/l)",
      "Atrial fibrillation",
      "COPD",
      "Urgency",
      "Active endocarditis",
      "Previous cardiac surgery",
      "Etiology",
      "Leaflet",
      "Tethering (mm)",
      "Operation date",
      "Procedure text",
      "Exit MR",
      "Vital status",
      "Last contact",
      "Date of reintervention",
    ],
    ...patients.map((row): WorkbookCell[] => [
      cell(Number(row.number)),
      row.age,
      row.sex === "F" ? "female" : "male",
      row.diabetes ? "yes" : "no",
      row.nyha,
      `${row.mr_pre}+`,
      row.lvef,
      row.lvedd,
      micromoles(creatinineOf(row)),
      row.af_pre,
      row.copd ? "yes" : "no",
      row.urgency,
      row.ie_active ? "yes" : "no",
      row.redo ? "yes" : "no",
      row.aetiology,
      row.leaflet,
      row.tether,
      serial(dateOf(row.id, 0)),
      text(row),
      row.mr_exit === "" ? "" : `${row.mr_exit}+`,
      row.dead ? "dead" : "alive",
      serial(dateOf(row.id, row.fu_days)),
      row.reint ? serial(dateOf(row.id, Number(row.reint_day))) : "",
    ]),
    ["Last updated by nobody"],
  ];
  const merges: string[] = [];
  const visitRows: WorkbookCell[][] = [["Pat No", "Echo date", "MR grade", "EF"]];
  for (const [, own] of Map.groupBy(visits, ({ number }) => number)) {
    const top = visitRows.length + 1;
    own.forEach((row, i) =>
      visitRows.push([
        i === 0 ? Number(row.number) : "",
        serial(dateOf(row.id, row.day)),
        ["none", "mild", "moderate", "mod-severe", "severe"][row.mr] ?? "",
        row.lvef,
      ])
    );
    if (own.length > 1) merges.push(`<mergeCell ref="A${top}:A${top + own.length - 1}"/>`);
  }
  const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
  const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
  const types = "http://schemas.openxmlformats.org/package/2006/relationships";
  const names = ["Read me", "Patients", "Echo"];
  return {
    files: {
      "registry.xlsx": workbook([], {
        "xl/workbook.xml":
          `<?xml version="1.0"?><workbook xmlns="${main}" xmlns:r="${office}"><sheets>${
            names.map((name, i) => `<sheet name="${name}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`)
              .join("")
          }</sheets></workbook>`,
        "xl/_rels/workbook.xml.rels": `<?xml version="1.0"?><Relationships xmlns="${types}">${
          names.map((_, i) =>
            `<Relationship Id="rId${i + 1}" Type="${office}/worksheet" Target="worksheets/sheet${
              i + 1
            }.xml"/>`
          ).join("")
        }<Relationship Id="rId9" Type="${office}/styles" Target="styles.xml"/></Relationships>`,
        "xl/worksheets/sheet1.xml": sheetXml([["Notes"], ["Everything here is invented."]]),
        "xl/worksheets/sheet2.xml": sheetXml(patientRows),
        "xl/worksheets/sheet3.xml": sheetXml(visitRows).replace(
          "</worksheet>",
          `<mergeCells>${merges.join("")}</mergeCells></worksheet>`,
        ),
      }),
    },
    patients,
    visits,
  };
}
