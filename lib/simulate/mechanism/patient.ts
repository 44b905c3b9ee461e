import type { SeededRandom } from "../../numerics/mod.ts";
import type { Mechanism } from "./mechanism-parameters.ts";
import type { CohortParameters } from "./parameters.ts";

/** One operation of the series: when, by whom, and how much that surgeon had done before. */
export interface Operation {
  /** Calendar time in years, such as 2014.37. Never leaves the generator. */
  time: number;
  surgeon: number;
  /** Mitral cases the surgeon had done before this one. */
  experience: number;
}

/** Chance, drawn once and used under either procedure (common random numbers). */
export interface Chance {
  assignment: number;
  conversion: number;
  tissue: number;
  exit: number;
  exitMild: number;
  prosthesis: number;
  earlyDeath: number;
  lateDeath: number;
  onset: number;
  startsAt3: number;
  to3: number;
  to4: number;
  regresses: number;
  toRegress: number;
  reoperation: number;
  otherReoperation: number;
  wear: number;
  reoperationReason: number;
  reoperationDeath: number;
  reoperationDeathDay: number;
  loss: number;
  contact: number;
  /** Seeds of the streams behind visits, measurements and descriptive columns. */
  visitSeed: number;
  detailSeed: number;
}

/** A patient before operation. Measurements are as a careful reader would record them. */
export interface Patient {
  operation: Operation;
  year: number;
  mechanism: Mechanism;
  /** Ischaemic or functional: tethering and interpapillary distance apply. */
  secondary: boolean;
  age: number;
  female: boolean;
  bsa: number;
  nyha: number;
  af: "none" | "paroxysmal" | "persistent";
  diabetes: 0 | 1;
  hypertension: 0 | 1;
  copd: 0 | 1;
  egfr: number;
  priorMi: 0 | 1;
  cadVessels: number;
  priorStroke: 0 | 1;
  redo: 0 | 1;
  urgency: "elective" | "urgent" | "emergency" | "salvage";
  leaflet: "" | "posterior" | "anterior" | "both";
  mrPre: number;
  lvef: number;
  lvedd: number;
  lvesd: number;
  /** NaN unless secondary. */
  tether: number;
  /** In systole; NaN unless secondary. */
  ipmd: number;
  pasp: number;
  trPre: number;
  /** Lesion complexity, from recorded columns; see the parameters. */
  complexity: number;
  chance: Chance;
}

const leaflets = ["posterior", "anterior", "both"] as const;
const urgencies = ["elective", "urgent", "emergency", "salvage"] as const;

/** Draws one patient's state before operation and every draw the outcomes will need. */
export function drawPatient(
  random: SeededRandom,
  options: { operation: Operation; parameters: CohortParameters },
): Patient {
  const { operation, parameters } = options;
  const mechanism = pick(random, parameters.mechanisms);
  const group = parameters.mechanisms[mechanism];
  const secondary = group.tether > 0;
  const female = random.bernoulli(group.female) === 1;
  const age = whole(group.age + group.ageSd * random.normal(), 18, 90);
  const size = random.normal();
  const lvedd = whole(group.lvedd + (female ? -2.5 : 1.5) + group.lveddSd * size, 36, 92);
  const lvef = whole(group.lvef + group.lvefSd * (-0.45 * size + 0.893 * random.normal()), 12, 78);
  // fractional shortening about 0.59 % per point of ejection fraction
  const lvesd = Math.min(
    lvedd - 2,
    whole(lvedd * (1 - 0.0059 * lvef) + 2 * random.normal(), 18, 85),
  );
  const nyhaScore = group.nyha + 0.02 * (age - 65) - 0.015 * (lvef - 55) + random.normal();
  const afOdds = group.af + 0.05 * (age - 65);
  const hasAf = random.bernoulli(logistic(afOdds));
  const urgency = urgencies[random.choice(group.urgency)]!;
  const priorMi = random.bernoulli(group.priorMi);
  const cad = random.choice(group.cad);
  const redo = random.bernoulli(group.redo);
  const leaflet = group.leaflet[0] ? leaflets[random.choice(group.leaflet)]! : "";
  const tether = secondary
    ? tenth(group.tether + 2.3 * (0.5 * size + 0.866 * random.normal()), 2, 22)
    : NaN;
  const ipmd = secondary
    ? tenth(group.ipmd + 5 * (0.5 * size + 0.866 * random.normal()), 8, 44)
    : NaN;
  const nyha = nyhaScore < -0.9 ? 1 : nyhaScore < 0.35 ? 2 : nyhaScore < 1.6 ? 3 : 4;
  const { complexity: c } = parameters;
  const complexity = group.complexity +
    (leaflet === "anterior" ? c.anterior : leaflet === "both" ? c.both : 0) +
    c.redo * redo + (secondary ? c.perMmTether * Math.max(0, tether - c.tetherFrom) : 0);
  return {
    operation,
    year: Math.floor(operation.time),
    mechanism,
    secondary,
    age,
    female,
    bsa: Math.round(100 * clamp((female ? 1.73 : 1.96) + 0.17 * random.normal(), 1.2, 2.8)) / 100,
    nyha,
    af: hasAf ? (random.bernoulli(0.6) ? "persistent" : "paroxysmal") : "none",
    diabetes: random.bernoulli(group.diabetes),
    hypertension: random.bernoulli(group.hypertension),
    copd: random.bernoulli(group.copd),
    egfr: whole(
      80 - 0.85 * (age - 60) + 0.15 * (lvef - 55) + 15 * random.normal(),
      6,
      130,
    ),
    priorMi,
    // ischaemic regurgitation without an infarction has diseased vessels
    cadVessels: mechanism === "ischaemic" && !priorMi ? Math.max(1, cad) : cad,
    priorStroke: random.bernoulli(group.priorStroke),
    redo,
    urgency,
    leaflet,
    mrPre: 2 + random.choice(group.mrPre),
    lvef,
    lvedd,
    lvesd,
    tether,
    ipmd,
    pasp: whole(group.pasp + 4 * (nyha - 2) + 11 * random.normal(), 15, 110),
    trPre: random.choice(hasAf ? [0.1, 0.35, 0.3, 0.18, 0.07] : [0.28, 0.45, 0.19, 0.06, 0.02]),
    complexity,
    chance: drawChance(random),
  };
}

function drawChance(random: SeededRandom): Chance {
  return {
    assignment: random.uniform(),
    conversion: random.uniform(),
    tissue: random.normal(),
    exit: random.uniform(),
    exitMild: random.uniform(),
    prosthesis: random.uniform(),
    earlyDeath: random.exponential(),
    lateDeath: random.exponential(),
    onset: random.exponential(),
    startsAt3: random.uniform(),
    to3: random.exponential(),
    to4: random.exponential(),
    regresses: random.uniform(),
    toRegress: random.exponential(),
    reoperation: random.exponential(),
    otherReoperation: random.exponential(),
    wear: random.exponential(),
    reoperationReason: random.uniform(),
    reoperationDeath: random.uniform(),
    reoperationDeathDay: random.uniform(),
    loss: random.exponential(),
    contact: random.uniform(),
    visitSeed: random.bits(),
    detailSeed: random.bits(),
  };
}

function pick(random: SeededRandom, mechanisms: CohortParameters["mechanisms"]): Mechanism {
  const names = Object.keys(mechanisms) as Mechanism[];
  return names[random.choice(names.map((name) => mechanisms[name].share))]!;
}

/** 1 / (1 + exp(-x)). */
export function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}

/** x, kept within [low, high]. */
export function clamp(x: number, low: number, high: number): number {
  return x < low ? low : x > high ? high : x;
}

/** x rounded to a whole number within [low, high]. */
export function whole(x: number, low: number, high: number): number {
  return clamp(Math.round(x), low, high);
}

/** x rounded to a tenth within [low, high]. */
export function tenth(x: number, low: number, high: number): number {
  return clamp(Math.round(10 * x) / 10, low, high);
}
