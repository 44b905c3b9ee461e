import { dictionary } from "../../lib/cohort/dictionary/dictionary.ts";
import type { IdentifierKind } from "../../lib/cohort/identifiers/kinds.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";

/** A file of patients in memory, with identifiers of one kind planted in one column. */
export interface PlantedFile {
  kind: IdentifierKind;
  /** How: a column with a telling heading, one with a neutral heading, or cells among others. */
  how: "heading" | "neutral" | "cells";
  header: string[];
  rows: string[][];
  position: number;
  /** What was planted. */
  values: string[];
}

// Names are put together from syllables, so that no list of names can be fitted to the test.
const first = ["Ar", "Bel", "Cor", "Dra", "El", "Fen", "Gar", "Hol", "Is", "Jor", "Kel", "Lor"];
const middle = ["a", "e", "i", "o", "en", "ar", "il", "or"];
const last = ["dric", "ven", "wyn", "stad", "mund", "lia", "nora", "beth", "quist", "thal"];

const pick = <T>(random: SeededRandom, values: readonly T[]): T =>
  values[random.integer(values.length)]!;
const digits = (random: SeededRandom, n: number): string =>
  Array.from({ length: n }, (_, i) => i === 0 ? 1 + random.integer(9) : random.integer(10))
    .join("");
const letters = (random: SeededRandom, n: number): string =>
  Array.from({ length: n }, () => pick(random, [..."ABCDEFGHJKLMNPRSTUVWXYZ"])).join("");
const hex = (random: SeededRandom, n: number): string =>
  Array.from({ length: n }, () => random.integer(16).toString(16)).join("");
const two = (n: number) => String(n).padStart(2, "0");
const word = (random: SeededRandom): string =>
  pick(random, first) + pick(random, middle) + pick(random, last);

type Maker = (random: SeededRandom) => string;

function date(random: SeededRandom): string {
  const year = 1990 + random.integer(34);
  const month = 1 + random.integer(12);
  const day = 1 + random.integer(28);
  const name = pick(random, ["Jan", "Mar", "May", "Okt", "Déc", "September"]);
  return pick(random, [
    `${year}-${two(month)}-${two(day)}`,
    `${day}/${month}/${year}`,
    `${two(day)}.${two(month)}.${String(year).slice(2)}`,
    `${year}${two(month)}${two(day)}`,
    `${day} ${name} ${year}`,
    `${name} ${day}, ${year}`,
    `${year}-${two(month)}-${two(day)}T08:${two(day)}:00Z`,
    `${two(month)}/${year}`,
    `${two(day)}${name}${year}`,
  ]);
}

const makers: Record<Exclude<IdentifierKind, "age">, Maker> = {
  name: (r) =>
    pick(r, [
      `${word(r)}, ${word(r)}`,
      `${word(r)} ${word(r)}`,
      word(r),
      `Dr ${word(r)}`,
      `${letters(r, 1)}. ${word(r)}`,
    ]),
  place: (r) =>
    pick(r, [
      `${1 + r.integer(200)} ${word(r)} Road`,
      `${word(r)}strasse ${1 + r.integer(90)}`,
      `${letters(r, 2)}${1 + r.integer(9)} ${1 + r.integer(9)}${letters(r, 2)}`,
      `${digits(r, 5)}-${digits(r, 4)}`,
      `${digits(r, 5)} ${word(r)}`,
      `${word(r)}, ${letters(r, 2)}`,
    ]),
  date,
  telephone: (r) =>
    pick(r, [
      `+44 20 ${digits(r, 4)} ${digits(r, 4)}`,
      `(${digits(r, 3)}) 555-${digits(r, 4)}`,
      `${digits(r, 3)}-555-${digits(r, 4)}`,
      `0${digits(r, 3)} ${digits(r, 7)}`,
    ]),
  fax: (r) => `+49 ${digits(r, 3)} ${digits(r, 6)}-${digits(r, 2)}`,
  email: (r) => `${word(r)}.${word(r)}@${word(r)}.example`.toLowerCase(),
  "social-security": (r) => `${digits(r, 3)}-${digits(r, 2)}-${digits(r, 4)}`,
  "record-number": (r) => pick(r, [digits(r, 7), `MRN${digits(r, 6)}`, digits(r, 10)]),
  "plan-number": (r) =>
    pick(r, [`${digits(r, 1)}EG${digits(r, 1)}-TE${digits(r, 1)}-MK${digits(r, 2)}`, digits(r, 9)]),
  "account-number": (r) => pick(r, [`GB${digits(r, 2)}WEST${digits(r, 14)}`, digits(r, 12)]),
  "licence-number": (r) => pick(r, [`GMC ${digits(r, 7)}`, `${letters(r, 2)}${digits(r, 7)}`]),
  vehicle: (r) =>
    pick(r, [
      `${letters(r, 2)}${digits(r, 2)} ${letters(r, 3)}`,
      `${letters(r, 1)}-${letters(r, 2)} ${digits(r, 4)}`,
      `W${letters(r, 2)}${digits(r, 3)}${letters(r, 4)}${digits(r, 7)}`,
    ]),
  device: (r) => pick(r, [`SN ${digits(r, 8)}`, `S/N${letters(r, 2)}${digits(r, 6)}`]),
  "web-address": (r) => `https://www.${word(r).toLowerCase()}.example/p/${digits(r, 4)}`,
  "network-address": (r) =>
    pick(r, [
      `${10 + r.integer(200)}.${r.integer(255)}.${r.integer(255)}.${r.integer(255)}`,
      `fe80::${hex(r, 4)}:${hex(r, 4)}:${hex(r, 4)}:${hex(r, 4)}`,
    ]),
  biometric: (r) => `${hex(r, 39)}7a`,
  photograph: (r) => `${word(r)}_${digits(r, 3)}.jpg`,
  "unique-code": (r) =>
    pick(r, [
      `${hex(r, 8)}-${hex(r, 4)}-${hex(r, 4)}-${hex(r, 4)}-${hex(r, 12)}`,
      `${letters(r, 3)}-${digits(r, 5)}-${letters(r, 1)}`,
    ]),
  "free-text": (r) =>
    `seen by ${word(r)} after the ${pick(r, ["fall", "holiday", "wedding"])}, wants ${
      pick(r, ["a call", "to wait", "to move"])
    }`,
};

const headings: Record<IdentifierKind, string[]> = {
  name: ["Patient name", "surname", "Nachname", "initials", "GP"],
  place: ["Post code", "address", "Town", "PLZ", "zip_code"],
  date: ["Date of birth", "op_date", "dateOfDeath", "Geburtsdatum"],
  age: ["age", "Age at surgery"],
  telephone: ["Phone", "tel_home", "mobile"],
  fax: ["Fax", "fax_no"],
  email: ["e-mail", "Email address"],
  "social-security": ["SSN", "National Insurance"],
  "record-number": ["MRN", "Hospital number", "patientRecord"],
  "plan-number": ["Insurance no", "medicare_id"],
  "account-number": ["Account", "IBAN"],
  "licence-number": ["Licence no", "certificate_number"],
  vehicle: ["number plate", "VIN"],
  device: ["Ring serial", "device_id"],
  "web-address": ["URL", "website"],
  "network-address": ["IP", "ip_address"],
  biometric: ["fingerprint", "Voice print"],
  photograph: ["Photo", "image_file"],
  "unique-code": ["uuid", "passport"],
  "free-text": ["Comments", "Remarks"],
};

/** Columns of every type, in which cells are replaced. */
const hosts = ["lvef", "egfr", "fu_days", "urgency", "sex", "convert_reason", "surgeon", "cpb"];

/** Files with plants: every kind, each way, whatever the seed; clean but for the plant. */
export function plantedFiles(count: number, seed: number): PlantedFile[] {
  const random = new SeededRandom(seed);
  const kinds = Object.keys(headings) as IdentifierKind[];
  const ways = ["heading", "neutral", "cells"] as const;
  return Array.from({ length: count }, (_, k) => {
    const kind = kinds[k % kinds.length]!;
    const how = ways[Math.floor(k / kinds.length) % ways.length]!;
    const cohort = simulateCohort({ seed: 1000 + k, n: 30 + random.integer(60) });
    const header = dictionary.patients.map(({ name }) => name);
    const rows = cohort.patients.map((patient) => Object.values(patient).map(String));
    return kind === "age"
      ? plantAges({ header, rows }, how, random)
      : plant({ header, rows }, { kind, how, random });
  });
}

function plant(
  { header, rows }: Pick<PlantedFile, "header" | "rows">,
  { kind, how, random }: Pick<PlantedFile, "kind" | "how"> & { random: SeededRandom },
): PlantedFile {
  const make = makers[kind as keyof typeof makers];
  const values: string[] = [];
  const next = () => {
    const value = make(random);
    values.push(value);
    return value;
  };
  if (how === "cells") {
    const position = header.indexOf(pick(random, hosts));
    for (let k = 1 + random.integer(3); k > 0; k--) {
      rows[random.integer(rows.length)]![position] = next();
    }
    return { kind, how, header, rows, position, values };
  }
  const position = random.integer(header.length + 1);
  header.splice(position, 0, how === "heading" ? pick(random, headings[kind]) : "field7");
  // not every patient has one
  rows.forEach((row) => row.splice(position, 0, random.uniform() < 0.8 ? next() : ""));
  return { kind, how, header, rows, position, values };
}

/** An age needs a heading to be known for one. */
function plantAges(
  { header, rows }: Pick<PlantedFile, "header" | "rows">,
  how: PlantedFile["how"],
  random: SeededRandom,
): PlantedFile {
  const position = how === "cells" ? header.indexOf("age") : header.length;
  if (how !== "cells") {
    header.push(how === "heading" ? "Age at surgery" : "age_2");
    rows.forEach((row) => row.push(row[header.indexOf("age")]!));
  }
  const values: string[] = [];
  for (let k = 1 + random.integer(3); k > 0; k--) {
    const value = String(91 + random.integer(14));
    rows[random.integer(rows.length)]![position] = value;
    values.push(value);
  }
  return { kind: "age", how, header, rows, position, values };
}
