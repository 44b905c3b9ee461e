import { boundedCount, publishableKinds } from "../../disclosure/mod.ts";
import { isWithheld, type ProgrammeReferral, type Withheld } from "../../programme/analyses/mod.ts";
import type { ReferralTable } from "../../programme/referral/mod.ts";
import { formatNumber, levelText } from "../../words/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import { limitCells, limitColumns, type ShownFrom } from "./rates.ts";
import type { TableHeading } from "../items/mod.ts";

// One or two surgeons' results are a person's, not a band's; fewer than ten say little of a band
// (common practice, no source).
const fewestSurgeons = 3;
const enoughSurgeons = 10;

/** Chances of a durable repair for kinds of patients, by band of volume, and what they rest on. */
export function referralTableOf(
  heading: TableHeading,
  referral: ReferralTable | Withheld,
  { smallestCell, confidence }: ShownFrom,
): DisplayTable | Remark {
  if (isWithheld(referral)) return say(referral.why);
  const { cells } = referral;
  const whole = cells.reduce((sum, { n }) => sum + n, 0);
  const counts = publishableKinds(cells.map(({ n }) => n), { whole, smallestCell });
  return table({
    ...heading,
    columns: [
      { key: "profile", label: "Valve", kind: "text" },
      { key: "band", label: "Surgeon's volume", kind: "text" },
      { key: "n", label: "Operations", kind: "number" },
      { key: "surgeons", label: "Surgeons", kind: "text" },
      ...limitColumns("Repaired and lasting", confidence),
    ],
    rows: cells.map(({ profile, band, n, surgeons, surgeonsOfBand, chance }, k) => ({
      profile: String(profile),
      band: String(band),
      n: counts[k]!,
      surgeons: surgeonsText(surgeons),
      ...limitCells(
        chance,
        typeof counts[k] === "number" && n > 0 && (surgeonsOfBand ?? Infinity) >= fewestSurgeons,
      ),
    })),
  });
}

/** How many surgeons the bands rest on, and what that means for the table. */
export function referralRestsOn(referral: ReferralTable | Withheld): string {
  if (isWithheld(referral)) return referral.why;
  const bands = new Map(
    referral.cells.flatMap(({ band, surgeonsOfBand }) =>
      surgeonsOfBand === undefined ? [] : [[String(band), surgeonsOfBand] as const]
    ),
  );
  if (bands.size === 0) return "How many surgeons each band rests on is not known.";
  const said = [...bands].map(([band, surgeons]) => `${band}: ${surgeonsText(surgeons)} surgeons`);
  const fewest = Math.min(...bands.values());
  const meaning = fewest < fewestSurgeons
    ? `a band of fewer than ${fewestSurgeons} is left empty, since it would show a person's results.`
    : fewest < enoughSurgeons
    ? `with fewer than ${enoughSurgeons} (common practice, no source) a band is their habits and ` +
      "patients as much as their volume; its limits allow for so few."
    : "enough for limits between surgeons.";
  return `The bands rest on so many surgeons (one may be in several, by year): ${
    said.join("; ")
  }; ` +
    meaning;
}

function surgeonsText(surgeons: number | undefined): string {
  if (surgeons === undefined) return "";
  const shown = boundedCount(surgeons, fewestSurgeons);
  return typeof shown === "number" ? formatNumber(shown) : shown;
}

/** How far the table's chances came true, for patients that they were not made from. */
export function referralQualityTable(
  heading: TableHeading,
  referral: ProgrammeReferral | Withheld,
  { confidence }: { confidence: number },
): DisplayTable | Remark {
  if (isWithheld(referral)) return say(referral.why);
  const { area, brier, calibration: { slope, intercept, observedOverExpected } } = referral.quality;
  const number = { kind: "number", digits: 2 } as const;
  const line = (
    measure: string,
    right: string,
    { estimate, lower, upper }: { estimate: number; lower: number | null; upper: number | null },
  ) => ({ measure, right, estimate, lower, upper });
  const alone = (estimate: number) => ({ estimate, lower: null, upper: null });
  return table({
    ...heading,
    columns: [
      { key: "measure", label: "Measure", kind: "text" },
      { key: "right", label: "Would be right", kind: "text" },
      { key: "estimate", label: "Found", ...number },
      { key: "lower", label: `${levelText(confidence)} from`, ...number },
      { key: "upper", label: "to", ...number },
    ],
    rows: [
      line("Told apart (area under the curve)", "1; 0.5 is chance", alone(area)),
      line("Brier score, gained over one chance for all", "1; 0 is none", alone(brier.scaled)),
      line("Observed over expected", "1", observedOverExpected),
      line("Calibration slope", "1", slope),
      line("Calibration intercept", "0", intercept),
    ],
  });
}
