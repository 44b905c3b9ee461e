/** What distinguishes one mechanism's patients from another's. */
export interface MechanismParameters {
  /** Share of the cohort. */
  share: number;
  age: number;
  ageSd: number;
  female: number;
  lvef: number;
  lvefSd: number;
  lvedd: number;
  lveddSd: number;
  /** Mean tethering (mm) and interpapillary distance in systole (mm); 0 where not measured. */
  tether: number;
  ipmd: number;
  /** Shares of posterior, anterior and bileaflet prolapse; zeros where not classified. */
  leaflet: number[];
  /** Shares of grades 2, 3, 4 before operation. */
  mrPre: number[];
  /** Shares of elective, urgent, emergency, salvage. */
  urgency: number[];
  /** Shift of NYHA class on the latent normal scale. */
  nyha: number;
  diabetes: number;
  hypertension: number;
  copd: number;
  priorMi: number;
  /** Shares of 0, 1, 2, 3 diseased vessels. */
  cad: number[];
  priorStroke: number;
  redo: number;
  /** Shift of atrial fibrillation (log odds). */
  af: number;
  /** Mean pulmonary artery pressure (mmHg). */
  pasp: number;
  /** Complexity score before leaflet and tethering. */
  complexity: number;
  /** Log odds that repair is intended at reference values. */
  repair: number;
  /** Log hazard ratios of early and late death; log cumulative hazard of recurrence at one year. */
  earlyDeath: number;
  lateDeath: number;
  recurrence: number;
}

const common = {
  leaflet: [0, 0, 0],
  tether: 0,
  ipmd: 0,
  priorStroke: 0.06,
  copd: 0.1,
};

/**
 * Mechanisms of regurgitation. Shares follow what surgical series commonly report (common practice,
 * no source); patients' features and log odds are invented.
 */
export const mechanismParameters: Record<
  "degenerative" | "ischaemic" | "functional_nonischaemic" | "rheumatic" | "endocarditis" | "other",
  MechanismParameters
> = {
  degenerative: {
    ...common,
    share: 0.55,
    age: 64,
    ageSd: 11,
    female: 0.36,
    lvef: 62,
    lvefSd: 7,
    lvedd: 57,
    lveddSd: 6,
    leaflet: [0.62, 0.16, 0.22],
    mrPre: [0.02, 0.33, 0.65],
    urgency: [0.87, 0.12, 0.01, 0],
    nyha: -0.3,
    diabetes: 0.09,
    hypertension: 0.48,
    priorMi: 0.03,
    cad: [0.8, 0.1, 0.06, 0.04],
    redo: 0.04,
    af: -0.9,
    pasp: 41,
    complexity: 0,
    repair: 1.8,
    earlyDeath: 0,
    lateDeath: 0,
    recurrence: -3.95,
  },
  ischaemic: {
    ...common,
    share: 0.22,
    age: 69,
    ageSd: 9,
    female: 0.29,
    lvef: 41,
    lvefSd: 9,
    lvedd: 61,
    lveddSd: 7,
    tether: 9.6,
    ipmd: 20.5,
    mrPre: [0.12, 0.48, 0.4],
    urgency: [0.58, 0.34, 0.07, 0.01],
    nyha: 0.45,
    diabetes: 0.36,
    hypertension: 0.72,
    copd: 0.16,
    priorMi: 0.82,
    cad: [0.03, 0.17, 0.3, 0.5],
    priorStroke: 0.1,
    redo: 0.07,
    af: -0.9,
    pasp: 47,
    complexity: 0.3,
    repair: 1.05,
    earlyDeath: 0.35,
    lateDeath: 0.3,
    recurrence: -2.35,
  },
  functional_nonischaemic: {
    ...common,
    share: 0.1,
    age: 65,
    ageSd: 11,
    female: 0.42,
    lvef: 39,
    lvefSd: 10,
    lvedd: 64,
    lveddSd: 7,
    tether: 10.2,
    ipmd: 21.5,
    mrPre: [0.08, 0.46, 0.46],
    urgency: [0.78, 0.2, 0.02, 0],
    nyha: 0.55,
    diabetes: 0.2,
    hypertension: 0.55,
    priorMi: 0,
    cad: [0.9, 0.07, 0.02, 0.01],
    redo: 0.07,
    af: 0,
    pasp: 48,
    complexity: 0.3,
    repair: 1.2,
    earlyDeath: 0.15,
    lateDeath: 0.25,
    recurrence: -2.45,
  },
  rheumatic: {
    ...common,
    share: 0.08,
    age: 58,
    ageSd: 12,
    female: 0.7,
    lvef: 58,
    lvefSd: 7,
    lvedd: 53,
    lveddSd: 6,
    mrPre: [0.15, 0.5, 0.35],
    urgency: [0.85, 0.14, 0.01, 0],
    nyha: 0.35,
    diabetes: 0.14,
    hypertension: 0.4,
    priorMi: 0.02,
    cad: [0.9, 0.06, 0.03, 0.01],
    redo: 0.14,
    af: 0.6,
    pasp: 52,
    complexity: 1.6,
    repair: -1.05,
    earlyDeath: 0.15,
    lateDeath: 0.05,
    recurrence: -2.7,
  },
  endocarditis: {
    ...common,
    share: 0.04,
    age: 57,
    ageSd: 15,
    female: 0.36,
    lvef: 59,
    lvefSd: 8,
    lvedd: 56,
    lveddSd: 6,
    mrPre: [0.05, 0.35, 0.6],
    urgency: [0.2, 0.6, 0.18, 0.02],
    nyha: 0.4,
    diabetes: 0.2,
    hypertension: 0.42,
    priorMi: 0.04,
    cad: [0.88, 0.06, 0.04, 0.02],
    priorStroke: 0.16,
    redo: 0.14,
    af: -0.9,
    pasp: 45,
    complexity: 1.2,
    repair: 0.5,
    earlyDeath: 0.6,
    lateDeath: 0.25,
    recurrence: -3.3,
  },
  other: {
    ...common,
    share: 0.01,
    age: 60,
    ageSd: 14,
    female: 0.5,
    lvef: 57,
    lvefSd: 9,
    lvedd: 56,
    lveddSd: 6,
    mrPre: [0.1, 0.45, 0.45],
    urgency: [0.78, 0.2, 0.02, 0],
    nyha: 0,
    diabetes: 0.14,
    hypertension: 0.45,
    priorMi: 0.05,
    cad: [0.85, 0.08, 0.04, 0.03],
    redo: 0.1,
    af: -0.6,
    pasp: 44,
    complexity: 0.9,
    repair: 0.4,
    earlyDeath: 0.1,
    lateDeath: 0.05,
    recurrence: -3.2,
  },
};

/** The six mechanisms, as the dictionary's `aetiology` codes them. */
export type Mechanism = keyof typeof mechanismParameters;
