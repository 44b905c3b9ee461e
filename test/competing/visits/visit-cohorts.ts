import { proportionOverTime } from "../../../lib/competing/visits/proportion-over-time.ts";
import { visitWeights } from "../../../lib/competing/visits/visit-weights.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";

// Invented course: regurgitation comes at rate `onset` a year and goes at rate `recovery`; looking
// is a Poisson process of 0.7 a year, times `factor` while regurgitation was there at the last look
// (or, unseen by any record, is there now).
const onset = [0.05, 0.2]; // by group
const recovery = 0.15;
const years = 8;

/** The proportion with regurgitation at t, a two-state Markov process from 0: by hand. */
export function truth(group: number, t: number): number {
  const total = onset[group]! + recovery;
  return onset[group]! / total * (1 - Math.exp(-total * t));
}

export function looked(patients: number, seed: number, by: "last-seen" | "present") {
  const random = new SeededRandom(seed);
  const factor = 5;
  const rows = {
    subject: [] as number[],
    group: [] as number[],
    entry: [] as number[],
    time: [] as number[],
    visit: [] as number[],
    last: [] as number[],
    outcome: [] as number[],
  };
  for (let subject = 0; subject < patients; subject++) {
    const group = subject % 2;
    const end = years * (0.3 + 0.7 * random.uniform());
    let now = 0; // time up to which the state is known
    let state = 0;
    let change = random.exponential(onset[group]!);
    const stateAt = (t: number) => {
      while (change <= t) {
        state = 1 - state;
        change += random.exponential(state === 1 ? recovery : onset[group]!);
      }
      return state;
    };
    let last = 0;
    let entry = 0;
    for (;;) {
      now += random.exponential(0.7 * factor);
      const isVisit = now < end;
      const present = isVisit ? stateAt(now) : 0;
      if (
        isVisit && random.uniform() * factor > ((by === "present" ? present : last) ? factor : 1)
      ) {
        continue;
      }
      rows.subject.push(subject);
      rows.group.push(group);
      rows.entry.push(entry);
      rows.time.push(Math.min(now, end));
      rows.visit.push(isVisit ? 1 : 0);
      rows.last.push(last);
      rows.outcome.push(present);
      if (!isVisit) break;
      last = present;
      entry = now;
    }
  }
  return rows;
}

export function estimates(rows: ReturnType<typeof looked>, times: number[]) {
  const { subject, entry, time, visit, last, group } = rows;
  const found = visitWeights(
    { subject, entry, time, visit, covariates: { last, group } },
    { stabiliseBy: ["group"] },
  );
  const pick = (column: number[]) => Array.from(found.rows, (row) => column[row]!);
  const visits = {
    subject: pick(subject),
    time: pick(time),
    outcome: pick(rows.outcome),
    group: pick(group),
  };
  return {
    model: found,
    plain: proportionOverTime(visits, { times }),
    weighted: proportionOverTime({ ...visits, weight: found.weight }, { times }),
  };
}
