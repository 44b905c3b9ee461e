import type { IdentifierKind } from "./kinds.ts";
import { looksLikeDate } from "../cells/mod.ts";

// Patterns of values that are identifiers wherever they stand, most telling first. `\d` is ASCII.
const telling: [IdentifierKind, RegExp][] = [
  ["email", /[^\s@]+@[^\s@]+\.[a-z]{2,}/i],
  ["web-address", /\b(https?|ftp|file):\/\/|\bwww\./i],
  ["photograph", /\.(jpe?g|png|gif|bmp|tiff?|heic|webp|dcm|nii|avi|mp4|mov)$|^data:/i],
  [
    "web-address",
    /^([a-z0-9-]+\.)+(com|org|net|edu|gov|info|io|uk|de|fr|it|nl|ch|at|es|eu|example|test|invalid)(\/\S*)?$/i,
  ],
  ["network-address", /^(25[0-5]|2[0-4]\d|1?\d?\d)(\.(25[0-5]|2[0-4]\d|1?\d?\d)){3}(:\d+)?$/],
  ["network-address", /^([0-9a-f]{2}[:-]){5}[0-9a-f]{2}$/i],
  ["network-address", /^(?=(.*:){3})[0-9a-f:]{6,39}$/i],
  ["photograph", /^\d+(\.\d+){5,}$/],
  ["unique-code", /^\{?[0-9a-f]{8}-([0-9a-f]{4}-){3}[0-9a-f]{12}\}?$/i],
  ["social-security", /^\d{3}[- ]\d{2}[- ]\d{4}$/],
  ["social-security", /^[A-CEGHJ-PR-TW-Z]{2} ?\d{2} ?\d{2} ?\d{2} ?[A-D]$/],
  ["record-number", /^(mrn|hosp|hn|nhs|chart|rec|record|accession|acc)[\s:#._-]*\d{4,}$/i],
  ["device", /^(s\/?n|serial|udi|lot)[\s:#._-]*(?=.*\d{3})[a-z0-9-]{4,}$|^\(01\)\d{14}/i],
  [
    "plan-number",
    /^(medicare|medicaid|policy|plan|member|hmo|ins)[\s:#._-]*(?=.*\d{3})[a-z0-9-]{5,}$/i,
  ],
  ["licence-number", /^(gmc|npi|dea|lic|licen[cs]e|cert)[\s:#._-]*(?=.*\d{3})[a-z0-9-]{4,}$/i],
  ["account-number", /^(acct|account)[\s:#._-]*\d{4,}$/i],
  ["account-number", /^[A-Z]{2}\d{2}( ?[A-Z0-9]{4}){2,7}( ?[A-Z0-9]{1,4})?$/],
  ["vehicle", /^(?=.*\d{3})(?=.*[A-Z])[A-HJ-NPR-Z0-9]{17}$/],
  ["place", /^[A-Z]{1,2}\d[A-Z\d]? ?\d[A-Z]{2}$/], // British post code
  ["place", /^[A-Z]\d[A-Z] ?\d[A-Z]\d$/], // Canadian
  ["place", /^\d{5}-\d{4}$/], // ZIP+4
  ["place", /^\d{4} ?(?!II|IV|VI|IX|XI)[A-Z]{2}$/], // Dutch
  ["place", /^[A-Z]{1,3}-\d{4,5}$/], // with the country before it
  ["place", /^(?:[A-Z]{1,3}-)?\d{4,5},? +\p{Lu}[\p{L}.'-]+/u], // 01234 Town
  ["place", /^\p{Lu}[\p{L}.'-]+(?: \p{Lu}[\p{L}.'-]+)*, ?[A-Z]{2}( \d{5})?$/u], // Town, ST
  ["place", /^-?\d{1,3}\.\d{3,}[,;] ?-?\d{1,3}\.\d{3,}$/], // latitude, longitude
  [
    "place",
    /^(\d+[a-z]?,? +.*\b(street|st|road|rd|avenue|ave|lane|ln|drive|dr|close|court|boulevard|blvd|terrace|square)\b|.*(stra(ss|ß)e|str\.|weg|gasse|platz) +\d+|\d+,? +(rue|avenue|via|calle)\b)/i,
  ],
  ["name", /^(dr|mr|mrs|ms|miss|prof|herr|frau|mme|sr|sra)\.? +\p{L}/iu],
  ["name", /^\p{Lu}[\p{L}'’-]+, *\p{Lu}/u], // Surname, First
  ["name", /^(\p{Lu}\. ?){2,4}$/u], // J. S.
  ["name", /^(\p{Lu}\. ?){1,3}\p{Lu}\p{Ll}+$/u], // J. Surname
  ["biometric", /^(?=.*\d)(?=.*[a-z])[0-9a-f]{32,}$|^(?=.*\d)(?=.*[A-Z])[A-Za-z0-9+/]{40,}={0,2}$/],
];

// Patterns that are identifiers only where they are rare: one person's, not a category's.
const tellingIfRare: [IdentifierKind, RegExp][] = [
  [
    "vehicle",
    /^([A-Z]{2}\d{2} ?[A-Z]{3}|[A-Z]{2}[- ]?\d{3}[- ]?[A-Z]{2}|\d{4} ?[A-Z]{3}|[A-Z]{1,3}[- ][A-Z]{1,2}[- ]?\d{1,4}|[A-Z]{3}[- ]?\d{3,4}|\d[A-Z]{3}\d{3})$/,
  ],
  ["unique-code", /^(?=(.*\d){4})(?=.*[A-Za-z])[A-Za-z0-9]+([-_/.]?[A-Za-z0-9]+)*$/],
  [
    "name",
    /^\p{Lu}[\p{L}'’-]+( (van|von|de|den|der|di|da|la|bin|al))*( \p{Lu}[\p{L}'’.-]*){1,3}$/u,
  ],
  ["free-text", /^\S+(\s+\S+){2,}$/],
];

/** The kind of identifier a value is by itself, if any. */
export function identifierOfValue(value: string): IdentifierKind | null {
  // nothing that small letters alone could be
  if (/^[a-z]{1,40}$/.test(value)) return null;
  if (looksLikeDate(value)) return "date";
  for (const [kind, pattern] of telling) if (pattern.test(value)) return kind;
  if (isTelephone(value)) return "telephone";
  return value.length > 80 || /[\r\n]/.test(value) ? "free-text" : null;
}

/** The kind of identifier a value is where it occurs once or twice only, if any. */
export function identifierOfRareValue(value: string): IdentifierKind | null {
  if (ordinary(value)) return null;
  for (const [kind, pattern] of tellingIfRare) {
    if (pattern.test(value) && (kind !== "unique-code" || value.length >= 7)) return kind;
  }
  return isName(value) ? "name" : null;
}

/** Whether a numeral has so many digits that it numbers a person. */
export function identifierOfNumeral(digits: string): IdentifierKind | null {
  if (looksLikeDate(digits)) return "date";
  // a number that went through a spreadsheet: 12345678.0, 1.2345678E7
  const whole = /^(\d+)[.,]0*$/.exec(digits)?.[1];
  if (whole !== undefined) return identifierOfNumeral(whole);
  if (/[.,]/.test(digits)) return null;
  if (digits.length === 9) return "social-security";
  if (digits.length >= 10 && /^(00|0|1)?[2-9]\d{9,}$/.test(digits)) return "telephone";
  return digits.length >= 6 ? "record-number" : null;
}

function isTelephone(value: string): boolean {
  const text = value.replace(/ *(ext|x)\.? *\d{1,5}$/i, "");
  if (!/^(\+|\()?\d[\d ().\/-]{6,24}$/.test(text)) return false;
  const digits = text.replace(/\D/g, "").length;
  // a decimal number has one point and nothing else between its digits
  return digits >= 7 && digits <= 15 && !/^\d+\.\d+$/.test(text) && /^\+|\D/.test(text);
}

/** Whether a value is a name by its form, and none of the words that files use as categories. */
export function looksLikeName(value: string): boolean {
  const [, pattern] = tellingIfRare.find(([kind]) => kind === "name")!;
  const bare = value.replace(/^(dr|mr|mrs|ms|prof|herr|frau|mme|sr|sra|dott)\.?\s+/i, "");
  return !ordinary(bare) && (pattern.test(bare) || isName(bare));
}

/** One word with a capital, or a common name: in a column of codes, hardly anything but a name. */
function isName(value: string): boolean {
  return /^\p{Lu}[\p{Ll}'’-]{2,}(-\p{Lu}\p{Ll}+)?$/u.test(value) ||
    /^(Mc|Mac|O['’])\p{Lu}\p{Ll}+$/u.test(value) ||
    commonNames.has(value.toLowerCase());
}

/** Whether a value is made of words that files of this kind use as categories. */
function ordinary(value: string): boolean {
  const words = value.toLowerCase().split(/[^\p{L}]+/u).filter((word) => word !== "");
  return words.length > 0 && words.length <= 6 && words.every((word) => ordinaryWords.has(word));
}

const commonNames = new Set(
  ("james john robert michael william david richard joseph thomas charles mary patricia jennifer " +
    "linda elizabeth barbara susan jessica sarah karen smith johnson williams jones brown davis " +
    "miller wilson anderson taylor thomas moore jackson martin lee thompson harris clark lewis " +
    "robinson walker hall allen wright scott hill adams baker nelson mueller müller schmidt " +
    "schneider fischer weber meyer wagner becker hoffmann garcia martinez rodriguez lopez " +
    "gonzalez hernandez perez rossi russo ferrari bianchi dubois durand leroy moreau singh kumar " +
    "sharma patel khan wang zhang chen yang nguyen tran kim park tanaka suzuki sato ahmed ali " +
    "hassan ibrahim mohammed fatima anna maria peter paul hans klaus pierre jean luigi marco " +
    "carlos jose juan ana luis emma olivia sophia noah liam lucas").split(" "),
);

const ordinaryWords = new Set(
  ("a and or of the to in with without by for at not no yes none other unknown missing na nk nd " +
    "pending true false male female man woman m f y n left right both anterior posterior medial " +
    "lateral bileaflet leaflet leaflets upper lower normal abnormal trace trivial mild moderate " +
    "severe minimal grade class stage type i ii iii iv v reduced preserved good poor fair " +
    "elective urgent emergency emergent salvage planned unplanned scheduled symptoms routine " +
    "repair replacement replaced repaired mitral aortic tricuspid valve valves ring band bypass " +
    "graft mechanical bioprosthesis biological tissue prosthesis rigid semirigid flexible " +
    "complete partial sternotomy mini minithoracotomy thoracotomy robotic open endoscopic " +
    "degenerative ischaemic ischemic functional rheumatic endocarditis primary secondary " +
    "prolapse flail myxomatous barlow fibroelastic deficiency dilated nonischaemic congenital " +
    "paroxysmal persistent permanent sinus rhythm atrial fibrillation cardiac noncardiac valvular " +
    "stroke infection bleeding cancer sepsis failure stenosis regurgitation thrombosis leak " +
    "alive dead died lost follow up discharge hospital home systole diastole chordal sparing " +
    "neochordae resection cutting edge approximation relocation papillary muscle intended final " +
    "residual systolic motion exposure calcification tear injury difficult result center centre " +
    "site group surgeon patient diabetes hypertension never former current smoker single double " +
    "triple vessel vessels one two three four low high intermediate early late first second " +
    "january february march april june july august september october november december")
    .split(" "),
);
