import { daysPerYear, optionalNumbers } from "./course.ts";
import { followUpOf } from "./endpoints.ts";
import { type Analysis, hasColumn, numericColumn, textColumn } from "../model/mod.ts";

/** First event of one kind and when, in the patients at risk of it. */
export interface ValveEvent {
  /** Name that it is referred to by. */
  id: string;
  /** Name as readers see it. */
  label: string;
  /** The event that it is a kind of, if any: its patients are among those of that one. */
  within?: string;
  /** Patients at risk, as rows of the analysis, ascending. */
  rows: Int32Array;
  /** Years to the event or to the end of its follow-up. */
  time: Float64Array;
  /** 1 where it happened at `time`. */
  event: Uint8Array;
  /** 0 last contact, 1 the event, 2 what forestalled it: death, another reintervention. */
  cause: Uint8Array;
  /** 1 = repair. */
  treated: Uint8Array;
  /** Patients who may have had it, but of whom that is not recorded; taken as without. */
  unknown: number;
}

/**
 * Events after a valve operation that the file dates, each with its follow-up: deaths, those due to
 * the valve, reoperations by reason, regurgitation found. What follows a reoperation is another
 * valve's.
 *
 * Valve-related death is by the cause recorded; unknown causes are counted, not guessed. Events
 * recorded without a day, such as a stroke within 30 days, are in {@link earlyEvents}. A kind of
 * which the file tells nothing in one of the groups is not among them: regurgitation found, where
 * no grade on leaving theatre is recorded.
 *
 * @see Akins et al. (2008) J Thorac Cardiovasc Surg 135:732-738, for what belongs here.
 */
export function valveEvents(analysis: Analysis): ValveEvent[] {
  const events: ValveEvent[] = [];
  for (const endpoint of ["death", "recurrence", "recurrence-severe", "reoperation"] as const) {
    const { rows, time, event, treated } = followUpOf(analysis, endpoint);
    events.push({
      id: endpoint,
      label: {
        death: "Death of any cause",
        recurrence: "Recurrent regurgitation found, 2+ or worse",
        "recurrence-severe": "Recurrent regurgitation found, 3+ or worse",
        reoperation: "Mitral reintervention, any",
      }[endpoint],
      ...(endpoint === "recurrence-severe" ? { within: "recurrence" } : {}),
      rows,
      time,
      ...coded(event),
      treated,
      unknown: 0,
    });
  }
  if (hasColumn(analysis, "death_cause")) events.push(valveDeath(analysis));
  if (hasColumn(analysis, "reint_reason")) events.push(...reinterventions(analysis));
  return events.filter(({ treated }) => treated.includes(0) && treated.includes(1));
}

/** First causes as 0, 1 and, for any other, 2. */
function coded(first: ArrayLike<number>): Pick<ValveEvent, "event" | "cause"> {
  return {
    event: Uint8Array.from(first, (code) => code === 1 ? 1 : 0),
    cause: Uint8Array.from(first, (code) => Math.min(code, 2)),
  };
}

function valveDeath(analysis: Analysis): ValveEvent {
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const cause = textColumn(analysis, "death_cause");
  const known = (i: number) => cause[i] !== "" && cause[i] !== "unknown";
  let unknown = 0;
  for (let i = 0; i < analysis.n; i++) if (dead[i] === 1 && !known(i)) unknown++;
  return {
    id: "valve-death",
    label: "Valve-related death",
    within: "death",
    rows: Int32Array.from({ length: analysis.n }, (_, i) => i),
    time: end.map((days) => days / daysPerYear),
    ...coded(cause.map((word, i) => dead[i] !== 1 ? 0 : word === "valve" ? 1 : 2)),
    treated: analysis.treated,
    unknown,
  };
}

const reasons = {
  MR: "Reintervention for regurgitation",
  stenosis: "Reintervention for stenosis",
  endocarditis: "Reintervention for endocarditis",
  thrombosis: "Reintervention for thrombosis",
};

function reinterventions(analysis: Analysis): ValveEvent[] {
  const { rows, time, event, treated } = followUpOf(analysis, "reoperation");
  const word = textColumn(analysis, "reint_reason");
  const unknown = rows.filter((row, i) => event[i] === 1 && word[row] === "").length;
  return Object.entries(reasons).map(([reason, label]) => ({
    id: `reintervention-${reason.toLowerCase()}`,
    label,
    within: "reoperation",
    rows,
    time,
    ...coded(
      Array.from(rows, (row, i) => event[i] === 1 ? (word[row] === reason ? 1 : 2) : event[i]!),
    ),
    treated,
    unknown,
  }));
}

/** Complications that are recorded as yes or no for the first 30 days or the hospital stay. */
export interface EarlyEvent {
  /** Name that it is referred to by. */
  id: string;
  /** Name as readers see it. */
  label: string;
  /** Of the patients in whom it is recorded. */
  repair: { n: number; events: number };
  /** Patients of the replacement group, and those with the event. */
  replacement: { n: number; events: number };
  /** How many of whom it is not known. */
  unknown: number;
}

const complications = {
  stroke_30: "Stroke within 30 days",
  bleed_reop: "Reopened for bleeding",
  new_dialysis: "New dialysis",
};

/** Early complications by group, those whose column the file has. */
export function earlyEvents(analysis: Analysis): EarlyEvent[] {
  return Object.entries(complications).filter(([name]) => hasColumn(analysis, name)).map(
    ([name, label]) => {
      const column = optionalNumbers(analysis, name);
      const found: EarlyEvent = {
        id: name.replaceAll("_", "-"),
        label,
        repair: { n: 0, events: 0 },
        replacement: { n: 0, events: 0 },
        unknown: 0,
      };
      column.forEach((value, i) => {
        if (Number.isNaN(value)) {
          found.unknown++;
          return;
        }
        const group = analysis.treated[i] === 1 ? found.repair : found.replacement;
        group.n++;
        if (value === 1) group.events++;
      });
      return found;
    },
  );
}
