import { SeededRandom } from "../../numerics/mod.ts";
import { type CohortParameters, cohortParameters } from "../mechanism/mod.ts";
import { type PatientRow, simulateCohort, type VisitRow } from "../rows/mod.ts";
import {
  type SecondPatient,
  secondPatient,
  type SecondVisit,
  secondVisit,
} from "./second-centre-rows.ts";

/** Size and seed of the cohort in `data-demo/second-centre/`. */
export const secondCentre = { seed: 20240815, n: 900 };

/**
 * Parameters of the second invented centre: fewer and later operations by four surgeons, more
 * ischaemic and functional regurgitation, older patients, repair chosen more often and converted
 * more often, and fewer echocardiograms. All invented.
 */
export const secondCentreParameters: CohortParameters = {
  ...cohortParameters,
  centre: "Centre B",
  firstYear: 2013,
  years: 10,
  closing: 2023.75,
  contactSpread: 0.75,
  lossRate: 0.02,
  volumeGrowth: 1.1,
  surgeons: [
    { code: "S1", share: 0.4, joined: 2013, casesBefore: 240, preference: 0.2 },
    { code: "S2", share: 0.3, joined: 2013, casesBefore: 30, preference: -0.1 },
    { code: "S3", share: 0.2, joined: 2016, casesBefore: 0, preference: 0.1 },
    { code: "S4", share: 0.1, joined: 2019, casesBefore: 0, preference: 0 },
  ],
  mechanisms: {
    ...cohortParameters.mechanisms,
    degenerative: {
      ...cohortParameters.mechanisms.degenerative,
      share: 0.44,
      age: 67,
      repair: 2.1,
    },
    ischaemic: { ...cohortParameters.mechanisms.ischaemic, share: 0.29, repair: 1.4 },
    functional_nonischaemic: {
      ...cohortParameters.mechanisms.functional_nonischaemic,
      share: 0.16,
      repair: 1.5,
    },
    rheumatic: { ...cohortParameters.mechanisms.rheumatic, share: 0.05 },
    endocarditis: { ...cohortParameters.mechanisms.endocarditis, share: 0.05 },
  },
  conversion: { ...cohortParameters.conversion, base: -3.7 },
  visits: {
    ...cohortParameters.visits,
    scheduledDays: [8, 90, 365, 731, 1461, 2192, 2922, 3652],
    attended: [0.92, 0.6, 0.78, 0.62, 0.58, 0.5, 0.45, 0.4],
  },
};

/** The second centre's tables, as it writes them itself. */
export interface SecondCentre {
  patients: SecondPatient[];
  visits: SecondVisit[];
}

/**
 * Draws the second centre's cohort and writes it with that centre's headings, units, codes and
 * codes for missing values, and with the damage that real exports have: untidy codes, and a few
 * rows that cannot be right.
 */
export function simulateSecondCentre(
  options: { seed: number; n: number } = secondCentre,
): SecondCentre & { clean: { patients: PatientRow[]; visits: VisitRow[] } } {
  const { patients, visits } = simulateCohort({ ...options, parameters: secondCentreParameters });
  const random = new SeededRandom(options.seed + 1);
  const theirs = {
    patients: patients.map((row) => secondPatient(row, random)),
    visits: visits.map((row) => secondVisit(row, random)),
  };
  damage(theirs, random);
  return { ...theirs, clean: { patients, visits } };
}

/** How many rows of the patients' sheet cannot be right, and how many of the visits. */
export const damagedRows = { patients: 5, visits: 3 };

function damage({ patients, visits }: SecondCentre, random: SeededRandom): void {
  const taken = new Set<number>();
  const next = (from: number) => {
    let row = random.integer(from);
    while (taken.has(row)) row = random.integer(from);
    taken.add(row);
    return row;
  };
  // a diameter in millimetres among centimetres, twice
  for (let k = 0; k < 2; k++) {
    const row = patients[next(patients.length)]!;
    row["LVIDd cm"] = 10 * Number(row["LVIDd cm"]);
  }
  // an ejection fraction above anything possible
  patients[next(patients.length)]!.EF = 0.93;
  // bypass and clamp times in each other's column
  const swapped = patients[next(patients.length)]!;
  const bypass = swapped["CPB min"]!;
  swapped["CPB min"] = swapped["Clamp min"]!;
  swapped["Clamp min"] = bypass;
  // a grade that does not exist
  patients[next(patients.length)]!.MR = "5+";
  taken.clear();
  for (let k = 0; k < damagedRows.visits; k++) {
    visits[next(visits.length)]!["Weeks after surgery"] = "999,99";
  }
}
