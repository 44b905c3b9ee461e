import {
  checkConfidence,
  checkDataColumns,
  checkLength,
  checkYears,
  DataError,
  distributions,
  type FollowUp,
  followUpColumns,
  MOST_YEARS,
  numberColumn,
  type Numbers,
  orderOf,
} from "../../numerics/mod.ts";
import type { LifeTable } from "./life-table.ts";

/** One person of the general population, at time 0. */
export interface Person {
  /** Years, with its fraction where known. */
  age: number;
  /** As labelled in the life table. */
  sex: string;
  /** Calendar time, such as 2014 or 2014.5; needed where the table has years. */
  year?: number;
}

/** People at time 0, one a row. */
export interface People {
  /** Age at time 0, years. */
  age: Numbers;
  /** As the life table has it. */
  sex: ArrayLike<string>;
  /** Calendar year of time 0. */
  year?: Numbers;
}

/** Survival expected from a life table. */
export interface ExpectedSurvival {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Probability of being alive at each time, 0 to 1. */
  survival: Float64Array;
  /** How many people it is the average of. */
  n: number;
}

/**
 * Survival that people of the same age, sex and calendar year would have had in the general
 * population: of one person, or the average over a cohort (Ederer's first method).
 *
 * The hazard is constant within a year of age and a calendar year, -log(1 - q); each person ages
 * and the calendar moves on together. S(t) = exp(-cumulative hazard), averaged over people with
 * equal weight whatever their follow-up: comparable with a Kaplan-Meier curve of the same people if
 * censoring does not depend on age, sex or year. Ages above the table's last take its last row;
 * years outside the table take the nearest.
 *
 * Units: years, throughout. Cost O(people * years followed).
 *
 * @example
 * ```ts
 * import { expectedSurvival, readLifeTable } from "mitral";
 * const table = readLifeTable("sex,age,q\nF,70,0.1\nF,71,0.2\n");
 * expectedSurvival(table, { age: 70, sex: "F" }, [1, 2]).survival; // 0.9, 0.72
 * ```
 * @throws {DataError} for ages below the table's first, a sex it does not list, years missing where
 * the table has them.
 * @see Ederer, Axtell & Cutler (1961) NCI Monograph 6:101-121.
 */
export function expectedSurvival(
  lifeTable: LifeTable,
  people: Person | People,
  times: Numbers,
): ExpectedSurvival {
  const one = (person: Person): People => ({
    age: [person.age],
    sex: [person.sex],
    ...(person.year !== undefined && { year: [person.year] }),
  });
  const columns = peopleColumns(
    lifeTable,
    typeof people.age === "number" ? one(people as Person) : people as People,
  );
  const time = numberColumn("times", times, { min: 0 }).slice();
  const order = orderOf(time);
  const survival = new Float64Array(time.length);
  const n = columns.age.length;
  for (let row = 0; row < n; row++) {
    const walk = hazardWalk(lifeTable, columns, row);
    for (const i of order) survival[i]! += Math.exp(-walk(time[i]!));
  }
  for (let i = 0; i < survival.length; i++) survival[i]! /= n;
  return { time, survival, n };
}

/** Observed against expected deaths. */
export interface ObservedToExpected {
  /** Events that happened. */
  observed: number;
  /** Events expected. */
  expected: number;
  /** Time under observation, years. */
  personTime: number;
  /** Standardised mortality ratio, observed over expected, with exact Poisson limits. */
  estimate: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Limits of the ratio among all people like these, who differ in their own ratio. */
  ofAll: { lower: number; upper: number };
}

/**
 * Standardised mortality ratio: deaths observed over those expected from a life table.
 *
 * Expected = the sum over people of the cumulative population hazard over the time each was under
 * observation, entry to exit (see expectedSurvival for the hazard). Limits: exact Poisson for the
 * observed count, the expected one taken as known: chi-square quantiles at 2 O and 2 O + 2 degrees
 * of freedom, over 2 E; the lower limit is 0 at no deaths. 1 is the general population's mortality.
 *
 * Those are limits for these very people. Where their ratios differ, other people of the kind would
 * be another mixture: `ofAll` are the limits of so many deaths as tell as much, O over the
 * dispersion, sum (o - R e)^2 / O, where that is above 1; see test/calibration/expected.
 *
 * Units: times and ages in years. Cost O(n * years followed).
 *
 * @example
 * ```ts
 * import { observedToExpected, readLifeTable } from "mitral";
 * const table = readLifeTable("sex,age,q\nF,70,0.1\n");
 * const data = { age: [70, 70], sex: ["F", "F"], time: [2, 3], event: [1, 0] };
 * observedToExpected(table, data).expected; // 5 * -log(0.9)
 * ```
 * @throws {DataError} as expectedSurvival and kaplanMeier; where anybody would be followed past an
 * age of 120 years, as when days or months are given for years; for weights, which exact limits do
 * not allow; where nobody is expected to die, or everybody at an age that was lived through.
 * @see Breslow & Day (1987) Statistical Methods in Cancer Research II, IARC; limits: Ulm (1990) Am
 * J Epidemiol 131:373-375.
 */
export function observedToExpected(
  lifeTable: LifeTable,
  data: Omit<FollowUp, "weight"> & People,
  options: { confidence?: number } = {},
): ObservedToExpected {
  checkDataColumns("observedToExpected", data, ["time", "event", "entry", "age", "sex", "year"]);
  const { n, time, event, entry } = followUpColumns(data);
  checkYears("time", time);
  const people = peopleColumns(lifeTable, data, n);
  people.age.forEach((age, row) => {
    if (age + time[row]! <= MOST_YEARS) return;
    const most = `such that nobody grows older than ${MOST_YEARS} (times are in years)`;
    throw new DataError("time", most, time[row], row);
  });
  let observed = 0;
  let expected = 0;
  let personTime = 0;
  const own = new Float64Array(n);
  for (let row = 0; row < n; row++) {
    const from = entry ? Math.max(0, entry[row]!) : 0;
    const walk = hazardWalk(lifeTable, people, row);
    const before = walk(from);
    const hazard = walk(time[row]!) - before;
    if (!(hazard < Infinity)) {
      throw new DataError("lifeTable", "below q = 1 at every age lived through", 1, row);
    }
    observed += event[row]!;
    own[row] = hazard;
    expected += hazard;
    personTime += time[row]! - from;
  }
  if (!(expected > 0)) throw new DataError("lifeTable", "such that deaths are expected", expected);
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  // of deaths that tell as much as so many of people who are all alike
  const limitsAt = (dispersion: number) => {
    const deaths = observed / dispersion;
    const low = deaths === 0 ? 0 : distributions.chiSquareQuantile(tail, 2 * deaths) / 2;
    const high = distributions.chiSquareUpperQuantile(tail, 2 * deaths + 2) / 2;
    return { lower: dispersion * low / expected, upper: dispersion * high / expected };
  };
  const ratio = observed / expected;
  const squares = own.reduce((sum, hazard, row) => sum + (event[row]! - ratio * hazard) ** 2, 0);
  return {
    observed,
    expected,
    personTime,
    estimate: ratio,
    ...limitsAt(1),
    ofAll: limitsAt(observed === 0 ? 1 : Math.max(1, squares / observed)),
  };
}

interface PeopleColumns {
  age: Float64Array;
  /** Index of each sex in the table. */
  sex: Int32Array;
  year: Float64Array | undefined;
}

function peopleColumns(table: LifeTable, people: People, length?: number): PeopleColumns {
  const age = numberColumn("age", people.age, { min: table.ages[0]!, max: 200, length });
  const n = age.length;
  if (n === 0) throw new DataError("age", "at least one person", "none");
  checkLength("sex", people.sex, n);
  const sex = new Int32Array(n);
  for (let row = 0; row < n; row++) {
    sex[row] = table.sexes.indexOf(people.sex[row]!);
    if (sex[row]! < 0) {
      const known = table.sexes.map((label) => `"${label}"`).join(" or ");
      throw new DataError("sex", known, people.sex[row], row);
    }
  }
  if (table.years.length > 0 && people.year === undefined) {
    throw new DataError("year", "given, as the life table has years", undefined);
  }
  const dated = table.years.length > 0 && people.year !== undefined;
  const year = dated ? numberColumn("year", people.year!, { length: n, min: 1000 }) : undefined;
  return { age, sex, year };
}

/**
 * Cumulative hazard of one person as a function of time since time 0, to be asked for times that
 * do not go back: it walks from one birthday or new year to the next.
 */
function hazardWalk(
  { ages, years, hazard }: LifeTable,
  people: PeopleColumns,
  row: number,
): (time: number) => number {
  const age = people.age[row]!;
  const layers = Math.max(1, years.length);
  let birthdays = Math.floor(age);
  let newYears = people.year ? Math.floor(people.year[row]!) : 0;
  let layer = yearIndex(years, newYears);
  let now = 0;
  let sum = 0;
  const rate = () => {
    const place = Math.min(birthdays - ages[0]!, ages.length - 1);
    return hazard[(people.sex[row]! * layers + layer) * ages.length + place]!;
  };
  return (time) => {
    while (now < time) {
      const birthday = birthdays + 1 - age;
      const newYear = people.year ? newYears + 1 - people.year[row]! : Infinity;
      const next = Math.min(birthday, newYear, time);
      if (next > now) sum += (next - now) * rate();
      now = next;
      if (next === birthday) birthdays++;
      if (next === newYear) layer = yearIndex(years, ++newYears);
    }
    return sum;
  };
}

/** The last year of the table that has begun, or its first. */
function yearIndex(years: number[], year: number): number {
  let index = 0;
  while (index + 1 < years.length && years[index + 1]! <= year) index++;
  return index;
}
