import {
  checkDataColumns,
  checkLength,
  checkNumber,
  DataError,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { cumulativeIncidence } from "../incidence/mod.ts";

/** Patients, and the grades seen in them. */
export interface GradedFollowUp {
  /** One value a patient: time to the event that ends the looking, or last contact. */
  time: Numbers;
  /** 0 last contact, 1 death, 2 another operation on the valve. */
  event: Numbers;
  /** Group of each row. */
  group: Labels;
  /** One value a grade seen: the patient's row, when, and the grade. */
  visits: { subject: Numbers; time: Numbers; grade: Numbers };
}

/** One group at one time. */
export interface GradesAt {
  /** The time asked about, in the unit given. */
  time: number;
  /** Alive, with the valve of the operation, and still followed. */
  followed: number;
  /** Of those, graded within the window. */
  graded: number;
  /** Of the graded, in the order of the grades. */
  counts: number[];
  /** counts / graded; NaN where nobody was. */
  amongGraded: number[];
  /** counts / followed; what is missing to 1 was not looked at. */
  amongLiving: number[];
  /** Under observation, and not looked at. */
  notLookedAt: number;
  /**
   * Of all operated: alive with the valve, in each grade as among the graded; died with it;
   * operated on again. They add up to 1. NaN past the last follow-up.
   */
  countingDead: { grades: number[]; died: number; operatedAgain: number };
}

/**
 * The share of patients in each grade at each time, by group: among those looked at, among the
 * living, and counting the dead.
 *
 * At each time a patient has the grade of the visit nearest to it within half a window either side
 * (of two as near, the earlier). Among the graded answers what an echocardiogram would show if
 * those looked at were like the others; among the living shows how many were not. Counting the dead
 * multiplies the first by the share alive with the valve (Aalen-Johansen, so that losses to
 * follow-up do not count as anything): a group in which more patients die has fewer left to leak.
 *
 * Cost: O(v + n log n) and O(n + v) a time.
 *
 * @param options.window Width, default half a year.
 * @example
 * ```ts
 * import { gradesOverTime } from "mitral";
 * const time = [2, 3, 1];
 * const event = [0, 1, 0];
 * const group = ["repair", "replacement", "repair"];
 * const visits = { subject: [0, 1, 2], time: [0.5, 0.4, 0.6], grade: [1, 0, 2] };
 * gradesOverTime({ time, event, group, visits }, { times: [0, 0.5, 1] })[0]?.at[1]?.amongGraded;
 * ```
 * @throws {DataError} on a grade that is not among `grades`, a visit after its patient's time, or a
 * value out of range.
 */
export function gradesOverTime(
  data: GradedFollowUp,
  options: { times: Numbers; window?: number; grades?: readonly number[] },
): { group: string | number; patients: number; at: GradesAt[] }[] {
  checkDataColumns("gradesOverTime", data, ["time", "event", "group", "visits"]);
  const { window = 0.5, grades = [0, 1, 2, 3, 4] } = options;
  checkNumber("window", window, (w) => w > 0 && w < Infinity, "a finite number > 0");
  const time = numberColumn("time", data.time, { min: 0 });
  const n = time.length;
  const event = numberColumn("event", data.event, { length: n, min: 0, max: 2, integer: true });
  const { codes, labels } = groupColumn("group", data.group, n);
  const times = numberColumn("times", options.times, { min: 0 });
  const { visits } = data;
  const subject = numberColumn("visits.subject", visits.subject, {
    min: 0,
    max: n - 1,
    integer: true,
  });
  checkLength("visits.grade", visits.grade, subject.length);
  const seen = numberColumn("visits.time", visits.time, { length: subject.length, min: 0 });
  const place = Int32Array.from({ length: subject.length }, (_, v) => {
    const k = grades.indexOf(visits.grade[v]!);
    if (k < 0) {
      throw new DataError("visits.grade", `one of ${grades.join(", ")}`, visits.grade[v], v);
    }
    if (seen[v]! > time[subject[v]!]!) {
      throw new DataError("visits.time", `at most its patient's ${time[subject[v]!]}`, seen[v], v);
    }
    return k;
  });
  const nearest = Array.from(times, (t) => gradesNear(t, window / 2, { n, subject, seen, place }));
  return labels.map((group, code) => {
    const rows = Array.from({ length: n }, (_, i) => i).filter((i) => codes[i] === code);
    const pick = (column: Float64Array) => Float64Array.from(rows, (i) => column[i]!);
    const ends = cumulativeIncidence(
      { time: pick(time), event: pick(event) },
      { causes: [1, 2] },
    ).causes.map((cause) => cause.at(times).incidence);
    return {
      group,
      patients: rows.length,
      at: Array.from(times, (t, j): GradesAt => {
        const counts = grades.map(() => 0);
        let followed = 0;
        let graded = 0;
        for (const i of rows) {
          if (time[i]! < t || t === 0 && time[i] === 0 && event[i] === 1) continue;
          followed++;
          const k = nearest[j]![i]!;
          if (k < 0) continue;
          graded++;
          counts[k]!++;
        }
        const died = ends[0]![j]!;
        const operatedAgain = ends[1]![j]!;
        const amongGraded = counts.map((count) => count / graded);
        const amongLiving = counts.map((count) => count / followed);
        return {
          time: t,
          followed,
          graded,
          counts,
          amongGraded,
          amongLiving,
          notLookedAt: (followed - graded) / followed,
          countingDead: {
            grades: amongGraded.map((share) => share * (1 - died - operatedAgain)),
            died,
            operatedAgain,
          },
        };
      }),
    };
  });
}

/** Place of each patient's grade nearest to t, -1 where none is within half a window. */
function gradesNear(
  t: number,
  half: number,
  { n, subject, seen, place }: {
    n: number;
    subject: Float64Array;
    seen: Float64Array;
    place: Int32Array;
  },
): Int32Array {
  const found = new Int32Array(n).fill(-1);
  const best = new Float64Array(n).fill(Infinity);
  const when = new Float64Array(n);
  for (let v = 0; v < seen.length; v++) {
    const away = Math.abs(seen[v]! - t);
    const i = subject[v]!;
    if (away > half || away > best[i]! || away === best[i]! && seen[v]! >= when[i]!) continue;
    best[i] = away;
    when[i] = seen[v]!;
    found[i] = place[v]!;
  }
  return found;
}
