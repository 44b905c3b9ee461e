import { mechanismParameters } from "./mechanism-parameters.ts";

/**
 * Every number behind the synthetic cohort.
 *
 * Values marked *invented* were chosen so that crude results look like published series; nothing
 * here is an estimate from real patients. Log hazard ratios and log odds are per unit named. All
 * rates are per year.
 */
export const cohortParameters = {
  /** The only name the invented centre has. */
  centre: "Centre A",

  /** First year of operation, number of years and closing of follow-up (in years). Invented. */
  firstYear: 2010,
  years: 14,
  closing: 2024.5,
  /** The last contact lies this far before closing, uniformly: a day count tells no date. */
  contactSpread: 0.5,
  /** Loss to follow-up, constant and unrelated to anything. Invented. */
  lossRate: 0.012,
  /** Volume grows over the years: weight of the last year relative to the first. Invented. */
  volumeGrowth: 1.6,

  /**
   * Surgeons: share of cases, calendar time of joining, mitral cases done before, and liking for
   * repair (log odds, small, so that who operates hardly matters beyond learning). Invented.
   */
  surgeons: [
    { code: "S1", share: 0.22, joined: 2010, casesBefore: 180, preference: 0.25 },
    { code: "S2", share: 0.18, joined: 2010, casesBefore: 120, preference: 0.05 },
    { code: "S3", share: 0.14, joined: 2010, casesBefore: 60, preference: -0.2 },
    { code: "S4", share: 0.13, joined: 2010, casesBefore: 0, preference: 0.1 },
    { code: "S5", share: 0.11, joined: 2012, casesBefore: 0, preference: -0.1 },
    { code: "S6", share: 0.09, joined: 2014, casesBefore: 0, preference: 0.2 },
    { code: "S7", share: 0.08, joined: 2016, casesBefore: 0, preference: 0 },
    { code: "S8", share: 0.06, joined: 2018, casesBefore: 0, preference: 0.15 },
    { code: "S9", share: 0.04, joined: 2020, casesBefore: 0, preference: -0.25 },
  ],

  /** Mechanisms of regurgitation, in proportions common in surgical series. */
  mechanisms: mechanismParameters,

  /**
   * Lesion complexity, a score made of recorded columns: 0 is an easy repair, 2 a hard one.
   * Anterior and bileaflet prolapse and rheumatic valves are harder (common practice, no source).
   */
  complexity: { anterior: 1, both: 1.3, redo: 0.4, perMmTether: 0.3, tetherFrom: 8 },

  /**
   * Confounding by indication: log odds that repair is intended. Invented; the signs follow common
   * practice (sicker, more tethered and larger ventricles go to replacement).
   */
  assignment: {
    anterior: -1.1,
    both: -1.5,
    perYearOfAge: -0.03,
    perNyhaClass: -0.32,
    perPercentLvef: 0.02,
    perMmLvedd: -0.05,
    perMmTether: -0.27,
    perUnitEgfr: 0.01,
    persistentAf: -0.3,
    redo: -0.9,
    urgent: -0.5,
    emergency: -1.3,
    salvage: -2,
    /** Repair became commoner over the years. */
    perCalendarYear: 0.08,
  },

  /**
   * Conversion of an attempted repair on the same day (log odds): harder lesions, early experience
   * (`learning`, falling in a line to 0 over `learningCases` mitral cases; common practice, no
   * source) and what is only seen at operation (`tissueSd`, recorded nowhere and without any other
   * effect). Invented: about 6 % are converted.
   */
  conversion: {
    base: -4.1,
    perComplexity: 0.85,
    learning: 1.6,
    learningCases: 50,
    tissueSd: 0.8,
    /** An intended replacement that ends as a repair: probability. */
    repairPossible: 0.008,
  },

  /**
   * Grade at exit. Log odds of residual regurgitation (>= 2+) after repair; else a chance of 1+.
   */
  exit: {
    residualBase: -4.4,
    residualPerComplexity: 0.75,
    /** Chance of 3+ rather than 2+ where residual. */
    residualSevere: 0.15,
    mildAfterRepair: 0.22,
    mildAfterReplacement: 0.05,
    residualAfterReplacement: 0.004,
  },

  /**
   * Early deaths: cumulative hazard exp(linear predictor) * (1 - exp(-t / `meanDays`)). Log hazard
   * ratios invented, size as in operative risk scores (common practice, no source).
   */
  earlyDeath: {
    base: -5.05,
    meanDays: 10,
    /** A death before this many days is a death in theatre. */
    theatreDays: 0.25,
    perYearOfAge: 0.04,
    perNyhaClass: 0.28,
    perPercentLvef: -0.02,
    perUnitEgfr: -0.012,
    redo: 0.5,
    urgent: 0.6,
    emergency: 1.4,
    salvage: 2.4,
    /** Treatment effect: log hazard ratio of a (final) replacement. Invented. */
    replacement: 0.45,
    /** A conversion costs time on bypass. Invented. */
    conversion: 0.35,
  },

  /**
   * Later deaths: Gompertz, hazard `rate` * exp(`perYear` t + linear predictor), rising with time
   * from operation. Log hazard ratios invented; five-year survival near that of mixed series.
   */
  lateDeath: {
    rate: 0.0125,
    perYear: 0.06,
    perYearOfAge: 0.055,
    perNyhaClass: 0.18,
    perPercentLvef: -0.016,
    perMmLvesdAbove40: 0.02,
    perUnitEgfr: -0.009,
    persistentAf: 0.22,
    diabetes: 0.25,
    copd: 0.35,
    /**
     * Treatment effect: log hazard ratio of a (final) replacement, smaller than early. Invented.
     */
    replacement: 0.2,
    /** While regurgitation >= 2+ is present: log hazard ratio, modest. Invented. */
    recurrence: 0.4,
  },

  /**
   * Onset of regurgitation >= 2+ after repair: cumulative hazard exp(linear predictor) t^`shape`,
   * concentrated above the marks of expert criteria (tethering 10 mm, interpapillary distance in
   * systole 20 mm) and of Braun 2005 (end-diastolic diameter 65 mm). Sizes invented; a trial in
   * severe ischaemic regurgitation saw 59 % by two years after repair, 4 % after replacement.
   */
  recurrence: {
    shape: 0.75,
    anterior: 0.6,
    both: 0.75,
    tetherMark: 10,
    tetherAbove: 0.75,
    perMmTetherAbove: 0.1,
    lveddMark: 65,
    lveddAbove: 0.45,
    perMmLveddAbove: 0.03,
    ipmdMark: 20,
    ipmdAbove: 0.4,
    perMmIpmdAbove: 0.03,
    /**
     * A step below the valve (chordae cut, papillary muscles approximated or moved): log hazard
     * ratio in secondary regurgitation. Invented.
     */
    subvalvular: -0.8,
    /** After replacement: cumulative hazard `leak` t^`leakShape` of a leak >= 2+. Invented. */
    leak: 0.008,
    leakShape: 0.6,
  },

  /**
   * Course after onset: grade 2+ (or 3+ at once), then 3+ and 4+ after exponential waits (mean
   * years); some fall back to 1+. A visit reads one grade lower at times (loading). Invented.
   */
  course: {
    startsAt3: 0.2,
    yearsTo3: 2.5,
    yearsTo4: 4,
    regresses: 0.12,
    yearsToRegress: 1.2,
    readLower: 0.12,
    /** A valve with 0 or 1+ at exit is read as the other of the two at a visit. */
    readOtherMild: 0.25,
  },

  /**
   * Reoperation: rate by current grade 0..4, lower in the old; other causes by prosthesis; wear of
   * a bioprosthesis is Weibull, faster in the young. Invented.
   */
  reoperation: {
    byGrade: [0, 0, 0.012, 0.07, 0.18],
    perYearOfAge: -0.035,
    otherAfterRepair: 0.002,
    otherMechanical: 0.005,
    otherBioprosthesis: 0.003,
    wearScale: 30,
    wearShape: 2.5,
    wearPerYearOfAge: 0.02,
    /** Death within 30 days of reoperation. */
    deathRisk: 0.05,
  },

  /**
   * Echo visits. Scheduled days, chance of attending each (missed visits are unrelated to the
   * grade), jitter as a share of the time, and symptom-driven visits: rate by current grade, higher
   * in NYHA III-IV. Invented; the schedule is common practice (no source).
   */
  visits: {
    scheduledDays: [6, 42, 183, 365, 731, 1096, 1461, 1826, 2557, 3287, 4018, 4748],
    attended: [0.95, 0.84, 0.74, 0.82, 0.74, 0.7, 0.66, 0.63, 0.58, 0.55, 0.5, 0.5],
    jitter: 0.07,
    /** Attendance falls by this from the age of 80. */
    lessWhenOld: 0.1,
    symptomRate: [0.04, 0.05, 0.28, 0.7, 1.3],
    symptomsInHighNyha: 1.4,
    /** Chance of an echocardiogram in the month before a reoperation. */
    beforeReoperation: 0.9,
  },

  /**
   * Ventricle after operation. Ejection fraction falls by `fall` (about 8-10 points in degenerative
   * regurgitation: common practice, no source), more from a high value than from a low one (part of
   * a high reading is load and error), and recovers in part; diameters shrink. Patients differ by
   * `lvefOwnSd` about that. Set so that in degenerative disease about 9, 21 and 33 % are below 50 %
   * after a year with none, one and both of lvef < 64 and lvesd >= 37 (Tribouilloy 2011). Other
   * sizes invented.
   */
  ventricle: {
    /** From `fallFrom` %. */
    fall: 9,
    fallFrom: 62,
    fallPerPoint: 0.35,
    fallSecondary: 2.5,
    /** Extra fall where the chordae were not kept. */
    fallWithoutChordae: 3,
    recovered: 0.45,
    recoveryYears: 0.5,
    /** Points lost per year with regurgitation >= 2+. */
    perYearLeaking: 1,
    lveddShrinks: 5.5,
    shrinkYears: 0.4,
    /** Between patients, and between visits of a patient. */
    lvefOwnSd: 7.5,
    lvefNoise: 4.5,
    diameterNoise: 2,
  },

  /** Share of patients whose ventricle was measured in steps of 5 (mm, %). Invented. */
  deviceRounding: 0.04,

  /**
   * Missing values: log odds for a base, then per year before 2017, urgent or worse, and the
   * special reason named. Depends on recorded columns only (missing at random). Invented.
   */
  missing: {
    perYearBefore2017: 0.12,
    urgent: 0.7,
    bsa: -4.3,
    egfr: -3.6,
    risk_pct: -2.9,
    eroa: -2.4,
    rvol: -1.8,
    rf: -1.5,
    vc: -1.6,
    tether: -3.2,
    ipmd: -2.3,
    pasp: -2.6,
    /** Without a tricuspid jet the pressure cannot be measured: added for tr_pre = 0. */
    paspWithoutJet: 1.4,
    grad_exit: -2.6,
    visitLvef: -2.5,
    visitDiameters: -1.6,
    visitGradient: -1.8,
  },

  /**
   * "asSet": procedures differ as above. "none": whatever is done, outcomes follow the law of a
   * repair without conversion, so that every effect of the procedure is nil.
   */
  effect: "asSet" as "asSet" | "none",
};

/** The shape of the parameters; spread {@link cohortParameters} and change what you need. */
export type CohortParameters = typeof cohortParameters;
