import { type Analysis, hasColumn, textColumn } from "../../cohort/model/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { followUpOf } from "../../cohort/follow-up/mod.ts";
import { type DurableData, type DurableRepair, durableRepair } from "../durable/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import { type ReferralTable, referralTable } from "../referral/mod.ts";
import type { Withheld } from "./withheld.ts";

/** What became of the operations, as columns with the rows of the analysis they are of. */
interface Followed extends DurableData {
  rows: Int32Array;
  repaired: Float64Array;
}

/** Repairs that lasted, by band of the surgeon's volume and in all; `all` where no surgeon is recorded. */
export function durableByVolume(operations: ProgrammeOperations): DurableRepair[] {
  const { horizons, confidence } = operations.analysis.study;
  const { rows, ...data } = followed(operations);
  const whole = durableRepair({ ...data, group: Array(rows.length).fill("all") }, {
    times: horizons,
    confidence,
  });
  const band = Array.from(rows, (row) => operations.band[row]!);
  if (band.every((one) => one === "")) return whole;
  const known = [...rows.keys()].filter((k) => band[k] !== "");
  const pick = (column: ArrayLike<number>) => known.map((k) => column[k]!);
  const byBand = durableRepair({
    repaired: pick(data.repaired),
    time: pick(data.time),
    event: pick(data.event),
    group: known.map((k) => band[k]!),
  }, { times: horizons, confidence });
  return [...byBand, ...whole];
}

/** Chances of a durable repair for kinds of patients, by band of the surgeon's volume. */
export function programmeReferral(operations: ProgrammeOperations): ReferralTable | Withheld {
  const { analysis, band, code } = operations;
  const { mainHorizon, confidence } = analysis.study;
  const { rows, ...data } = followed(operations);
  const known = [...rows.keys()].filter((k) => band[rows[k]!] !== "");
  if (new Set(known.map((k) => band[rows[k]!])).size < 2) {
    return { why: "All known surgeons are in one band of volume." };
  }
  const profile = profilesOf(analysis);
  const pick = <T>(column: ArrayLike<T>) => known.map((k) => column[k]!);
  const ofRow = (column: readonly string[]) => known.map((k) => column[rows[k]!]!);
  const table = referralTable({
    repaired: pick(data.repaired),
    time: pick(data.time),
    event: pick(data.event),
    profile: ofRow(profile),
    band: ofRow(band),
    cluster: ofRow(code),
  }, { horizon: mainHorizon, confidence });
  return table.reason === undefined ? table : { why: `No model could be fitted: ${table.reason}.` };
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

function followed({ analysis, repaired }: ProgrammeOperations): Followed {
  const { rows, time, event } = followUpOf(analysis, "valve-failure");
  return { rows, time, event, repaired: Float64Array.from(rows, (row) => repaired[row]!) };
}
