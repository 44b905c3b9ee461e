import { extentOf } from "../../numerics/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { type Analysis, hasColumn, textColumn } from "../../cohort/model/mod.ts";
import { type CalibrationAt, calibrationAt } from "../../competing/calibration/mod.ts";
import { heldOut } from "../../sensitivity/bootstrap/mod.ts";
import { areaUnderCurve, type BrierScore, brierScore } from "../../survival/prediction/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import {
  type ReferralData,
  referralModel,
  type ReferralTable,
  referralTable,
} from "../referral/mod.ts";
import { followedOperations } from "./followed.ts";
import type { Withheld } from "./withheld.ts";

/** Chances of a durable repair, and how far they came true for patients they were not made from. */
export interface ProgrammeReferral extends ReferralTable {
  /** Of the chance of no durable repair, death competing. */
  quality: { area: number; brier: BrierScore; calibration: CalibrationAt };
}

// Fewer of either kind say too little of a dozen kinds of patients (common practice, no source).
const fewest = 30;

/** Chances of a durable repair for kinds of patients, by band of the surgeon's volume. */
export function programmeReferral(operations: ProgrammeOperations): ProgrammeReferral | Withheld {
  const { mainHorizon: horizon, confidence, seed } = operations.analysis.study;
  const data = referralData(operations);
  if (new Set(data.band).size < 2) {
    return { why: "All known surgeons are in one band of volume." };
  }
  // no durable repair: not repaired, which is known at once, or failed
  const time = data.time.map((years, k) => data.repaired[k] === 1 ? years : 0);
  const event = data.event.map((what, k) => data.repaired[k] === 1 ? what : 1);
  const lost = event.filter((what, k) => what === 1 && time[k]! <= horizon).length;
  if (extentOf(time)[1] < horizon || Math.min(lost, time.length - lost) < fewest) {
    return { why: `Fewer than ${fewest} lasting repairs, or others: too few for chances by kind.` };
  }
  const table = referralTable(data, { horizon, confidence });
  if (table.reason !== undefined) return { why: `No model could be fitted: ${table.reason}.` };
  const predicted = heldOut(time.length, (made, left) => {
    const { riskOf } = referralModel(rowsOf(data, made), { horizon, confidence });
    return riskOf(
      Array.from(left, (k) => ({ profile: data.profile[k]!, band: data.band[k]! })),
    ).map((chance) => 1 - chance);
  }, { seed });
  const followUp = { time, event };
  return {
    ...table,
    quality: {
      area: areaUnderCurve({ ...followUp, score: predicted }, { at: horizon }).estimate,
      brier: brierScore({ ...followUp, predicted }, { at: horizon }),
      calibration: calibrationAt({ ...followUp, predicted }, {
        at: horizon,
        groups: 5,
        confidence,
      }),
    },
  };
}

interface ReferralColumns extends ReferralData {
  repaired: number[];
  time: number[];
  event: number[];
  profile: string[];
  band: string[];
  cluster: string[];
}

/** Operations of recorded surgeons. */
function referralData(operations: ProgrammeOperations): ReferralColumns {
  const { analysis, band, code } = operations;
  const followed = followedOperations(operations);
  const profile = profilesOf(analysis);
  const known = [...followed.rows.keys()].filter((k) => band[followed.rows[k]!] !== "");
  const ofRow = (column: readonly string[]) => known.map((k) => column[followed.rows[k]!]!);
  return {
    repaired: known.map((k) => followed.repaired[k]!),
    time: known.map((k) => followed.time[k]!),
    event: known.map((k) => followed.event[k]!),
    profile: ofRow(profile),
    band: ofRow(band),
    cluster: ofRow(code),
  };
}

function rowsOf(data: ReferralColumns, rows: ArrayLike<number>): ReferralColumns {
  const pick = <T>(column: readonly T[]) => Array.from(rows, (row) => column[row]!);
  return {
    repaired: pick(data.repaired),
    time: pick(data.time),
    event: pick(data.event),
    profile: pick(data.profile),
    band: pick(data.band),
    cluster: pick(data.cluster),
  };
}

/** Mechanism, and for degenerative valves the leaflet: kinds of patients, not persons. */
export function profilesOf(analysis: Analysis): string[] {
  const label = (column: string, code: string) =>
    dictionaryColumn("patients", column, analysis.study.columns)?.categories
      ?.find((one) => one.code === code)?.label ?? code;
  const leaflets = hasColumn(analysis, "leaflet") ? textColumn(analysis, "leaflet") : [];
  return textColumn(analysis, "aetiology").map((code, row) => {
    const leaflet = leaflets[row] ?? "";
    const name = label("aetiology", code) || "not recorded";
    return leaflet === "" ? name : `${name}, ${label("leaflet", leaflet)}`;
  });
}
