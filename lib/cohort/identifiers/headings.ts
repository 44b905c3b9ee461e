import type { IdentifierKind } from "./kinds.ts";

// On a heading in lower-case words, one space apart; English, and the commonest German, French,
// Spanish, Italian and Dutch words.
const headings: [IdentifierKind, RegExp][] = [
  ["email", /\b(e ?mail|mail address|courriel|correo)\b/],
  ["fax", /\b(tele)?fax\b/],
  [
    "telephone",
    /\b(tele)?(phone|fon|foon|fono)s?\b|\b(tel|handy|cell (phone|no|number)|mobile (phone|no|number))\b|^mobile$/,
  ],
  ["social-security", /\b(ssn|social (security|insurance)|national insurance|ni(no| number))\b/],
  [
    "plan-number",
    /\b(health plan|insur\w*|beneficiary|policy|medic(are|aid)|member (id|no|number))\b/,
  ],
  ["account-number", /\b(account|acct|iban|billing|invoice)\b/],
  ["licence-number", /\b(licen[cs]e|certificate|gmc|npi|dea) ?(no|number|id)?\b/],
  ["vehicle", /\b(vehicle|vin|(number|licen[cs]e) ?plate|car reg\w*)\b/],
  [
    "device",
    /\b(serial (no|nr|number|id)|serials?$|udi|lot (no|number)|device (id|identifier|no|number))\b/,
  ],
  ["web-address", /\b(url|uri|web(site| ?address| ?page)|homepage|link)\b/],
  ["network-address", /\b(ip( ?(v[46]|address))?|mac address|hostname)\b/],
  ["biometric", /\b(finger ?print|biometric\w*|retina\w*|iris|voice ?print|face ?id|genome|dna)\b/],
  [
    "photograph",
    /\b(photo\w*|portrait|picture|foto|dicom|(image|scan|film) ?(file|id|ref\w*|path|name|uid))\b/,
  ],
  ["date", /\b(birth\w*|born|dob|yob|jahrgang|geb(urts)?\w*|naissance|nacimiento|nascita)\b/],
  [
    "date",
    /\b(date|datum|data (di|da|de)|fecha|dt|time ?stamp|datetime|doa|dod|dos|when|clock time|month of (surgery|operation|admission|discharge|death))\b|date$/,
  ],
  [
    "record-number",
    /\b(mrn|nhs|chart|(medical|hospital|patient|case|clinic|unit|study) ?(record|no|number|nr)|record( ?(no|number|id))?|accession)\b/,
  ],
  [
    "place",
    /\b(address|adresse|street|stra(ss|ß)e|road|town|city|ville|stadt|ort|county|district|village|parish|precinct|zip( ?code)?|post(al)? ?code|postleitzahl|plz|latitude|longitude|lng|geo ?code|domicile|residence)\b/,
  ],
  [
    "name",
    /\b((sur|fore|first|last|given|family|maiden|full|middle|nick|patient|user|vor|nach)? ?names?|nom|prenom|prénom|nombre|apellidos?|naam|cognome|initials|next of kin|gp|relative|contact person)\b/,
  ],
  ["unique-code", /\b(uuid|guid|uid|token|barcode|passport)\b/],
  [
    "free-text",
    /\b((free ?)?text|comments?|remarks?|notes?|narrative|letter|report text|bemerkung(en)?|memo)\b/,
  ],
];

/**
 * The kind of identifier that a column's heading announces, if any.
 *
 * A count of days or years is no date: "Days from operation to death" is not, "Date of death" is.
 */
export function identifierOfHeading(heading: string): IdentifierKind | null {
  const words = heading.normalize("NFC").replace(/(\p{Ll})(\p{Lu})/gu, "$1 $2").toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, " ").trim();
  for (const [kind, pattern] of headings) {
    if (!pattern.test(words)) continue;
    if (kind === "name" && /\b(device|ring|valve|drug|procedure|operation)\b/.test(words)) continue;
    if (kind === "date" && !/birth|born|dob|yob|geb/.test(words) && isDuration(words)) continue;
    return kind;
  }
  return null;
}

/** Whether a heading says it holds the dates of an operation. */
export function isOperationDate(heading: string): boolean {
  const words = heading.replace(/(\p{Ll})(\p{Lu})/gu, "$1 $2").toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, " ").trim();
  return /\b(op|operation|surgery|procedure|operated|eingriff)\b/.test(words) &&
    !/\b(re|re ?op\w*|re ?do|second)\b/.test(words) && identifierOfHeading(heading) === "date";
}

/**
 * Whether a heading says it holds ages in years: English, German, French, Spanish, Italian, Dutch.
 * "Age in months" does not, nor does "average".
 */
export function isAgeHeading(heading: string): boolean {
  const words = heading.normalize("NFC").replace(/(\p{Ll})(\p{Lu})/gu, "$1 $2").toLowerCase()
    .replace(/[^\p{L}]+/gu, " ").trim();
  return /(^| )(ages?|[âa]ge|alter|edad|età|leeftijd)( |$)/.test(words) &&
    !/(^| )(days?|months?|tage|monate?|jours|mois|meses|mesi|maanden)( |$)/.test(words);
}

function isDuration(words: string): boolean {
  return /\b(days?|weeks?|months|years?|yrs?|hours?|min(utes)?|tage?|monate|jahre?)\b/.test(words);
}
