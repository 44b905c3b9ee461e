/** What a value that is no plain number may stand for. */
export type OddValue =
  | { kind: "exact"; value: number }
  | { kind: "between"; low: number; high: number }
  | { kind: "bound"; value: number }
  | { kind: "about"; value: number };

const roman: Record<string, number> = { i: 1, ii: 2, iii: 3, iv: 4 };

// English, German, French, Spanish, Italian: common practice, no source
const gradeWords: Record<string, number> = Object.fromEntries(
  [
    "none no trace trivial nil keine kein aucune nulle ninguna nessuna minimal minimale physiologisch",
    "mild slight leicht leichtgradig leichte gering geringgradig légère legere leve lieve minime",
    "moderate mod mittel mittelgradig mittelschwer modérée moderee moderada moderata mäßig maessig",
    "moderate-severe mod-severe mod-sev mittelgradig-schwer mittel-schwer mittelgradig-hochgradig " +
    "modérée-sévère moderada-severa moderata-severa",
    "severe schwer hochgradig schwergradig sévère severe severa grave",
  ].flatMap((line, grade) => line.split(" ").map((word) => [word, grade])),
);

/**
 * What a text says of a number: "55 %" is 55, "55-60" lies between, ">60" is a bound, "ca. 55" is
 * about. `null` where it says none. A unit behind it that is not `unit` makes it none.
 */
export function oddNumber(text: string, decimal: "." | ",", unit: string | null): OddValue | null {
  const found = oddValue(text, decimal, unit);
  return found && Object.values(found).some(Number.isNaN) ? null : found;
}

function oddValue(text: string, decimal: "." | ",", unit: string | null): OddValue | null {
  // 1,25 in a file with points is 1.25; 1,250 could be a thousand
  const plain = (digits: string) => {
    const mark = /[.,]/.exec(digits)?.[0];
    if (mark !== undefined && mark !== decimal && /^[1-9]\d{0,2}[.,]\d{3}$/.test(digits)) {
      return NaN;
    }
    return Number(digits.replace(",", "."));
  };
  const number = String.raw`(\d+(?:[.,]\d+)?)`;
  const end = unit === null
    ? ""
    : String.raw`\s*(?:${unit.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&")})?`;
  const value = text.trim().toLowerCase();
  const between = new RegExp(`^${number}${end}\\s*(?:-|–|bis|to|à|a)\\s*${number}${end}$`).exec(
    value,
  );
  if (between) {
    const [low, high] = [plain(between[1] ?? ""), plain(between[2] ?? "")];
    return low < high ? { kind: "between", low, high } : null;
  }
  const bound = new RegExp(`^(?:>=?|<=?|≥|≤|über|unter|over|under|above|below)\\s*${number}${end}$`)
    .exec(value);
  if (bound) return { kind: "bound", value: plain(bound[1] ?? "") };
  const about =
    new RegExp(`^(?:ca\\.?|~|circa|about|approx\\.?|etwa)\\s*${number}${end}$`).exec(value) ??
      new RegExp(`^${number}${end}\\s*\\?$`).exec(value);
  if (about) return { kind: "about", value: plain(about[1] ?? "") };
  const exact = new RegExp(`^${number}${end}$`).exec(value);
  return exact ? { kind: "exact", value: plain(exact[1] ?? "") } : null;
}

/**
 * What a text says of a grade of regurgitation or a class: "2+", "III", "grade 2", "mild", "2/4"
 * are one; "mild-mod", "1-2", "I-II", "1.5" lie between two. "1/2" could be either: between, unless
 * others of its column are fractions of `most`, as "2/4" is.
 */
export function oddGrade(
  text: string,
  { most, fractions }: { most: number; fractions: boolean },
): OddValue | null {
  const value = text.normalize("NFC").trim().toLowerCase()
    // "mild" begins with a word for the valve, too
    .replace(/^(grade?|grad|stadium|class|klasse|nyha|mr|mi|ti|tr)(?=[\s\d.:])[\s.:]*/i, "")
    .replace(/\s*(°|grad|grade)\s*/g, "");
  const one = (part: string): number | null => {
    const bare = part.trim().replace(/\+$/, "");
    if (/^[0-4]$/.test(bare)) return Number(bare);
    if (Object.hasOwn(roman, bare)) return roman[bare] ?? null;
    return Object.hasOwn(gradeWords, bare) ? gradeWords[bare] ?? null : null;
  };
  // "moderate to severe" is a grade of its own, and none between two
  const joined = value.replace(/\s*(?:[-–/]|\bto\b|\bbis\b|\bà\b)\s*/g, "-");
  const whole = one(value) ?? (/\p{L}/u.test(joined) ? one(joined) : null);
  if (whole !== null) return whole <= most ? { kind: "exact", value: whole } : null;
  const fraction = /^([0-4])\s*\/\s*([1-4])$/.exec(value);
  if (fraction && fractions && Number(fraction[2]) === most) {
    return { kind: "exact", value: Number(fraction[1]) };
  }
  const half = /^([0-3])[.,]5$/.exec(value);
  if (half && Number(half[1]) < most) {
    return { kind: "between", low: Number(half[1]), high: Number(half[1]) + 1 };
  }
  const parts = value.split(/\s*(?:-|–|\/|bis|to|à)\s*/);
  const [low, high] = parts.map(one);
  if (parts.length !== 2 || typeof low !== "number" || typeof high !== "number") return null;
  return low < high && high <= most ? { kind: "between", low, high } : null;
}

/**
 * Whether a column's values are fractions of its highest grade: "2/4" is, and "1/2" alone is not.
 */
export function areFractions(values: Iterable<string>, most: number): boolean {
  let found = 0;
  for (const value of values) {
    const fraction = /^\s*([0-4])\s*\/\s*([1-4])\s*$/.exec(value);
    if (!fraction) continue;
    if (Number(fraction[2]) !== most) return false;
    found++;
  }
  return found >= 2;
}
