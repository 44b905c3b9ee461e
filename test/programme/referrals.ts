import type { SeededRandom } from "mitral";

/**
 * Kinds of valves, how often they come, and the log odds of a lasting repair of each (invented).
 */
const profiles = {
  "posterior": { share: 36, logOdds: 1.4 },
  "anterior": { share: 10, logOdds: 0.1 },
  "both": { share: 14, logOdds: -0.2 },
  "ischaemic": { share: 23, logOdds: -0.8 },
  "functional": { share: 9, logOdds: -0.8 },
  "rheumatic": { share: 8, logOdds: -0.9 },
};

/** Simulated operations by profile and band of surgeon volume, and what became of the valves. */
export interface Referrals {
  repaired: Uint8Array;
  time: Float64Array;
  event: Uint8Array;
  profile: string[];
  band: string[];
  cluster: string[];
  /** True chance of a lasting repair, of surgeons such as these, by profile and band. */
  truth: (profile: string, band: string) => number;
}

/**
 * Draws a programme: surgeons differ by a normal amount, busier ones repair for good more often,
 * and those of middling volume are now in one band, now in the other. Where no repair lasts, the
 * valve was replaced or the repair fails within the horizon of 5 years; of the rest some die, and
 * some are lost from sight.
 */
export function referrals(
  random: SeededRandom,
  { n = 1600, surgeons, spread, apart = false }: {
    n?: number;
    surgeons: number;
    spread: number;
    /** No surgeon is in both bands. */
    apart?: boolean;
  },
): Referrals {
  const codes = Array.from({ length: surgeons }, (_, s) => `S${s + 1}`);
  const busy = codes.map((_, s) => 2 * (surgeons - s) / (surgeons + 1)); // mean 1
  const own = codes.map(() => spread * random.normal());
  const kinds = Object.keys(profiles) as (keyof typeof profiles)[];
  const shares = kinds.map((kind) => profiles[kind].share);
  const high = 0.3;
  const made: Referrals = {
    repaired: new Uint8Array(n),
    time: new Float64Array(n),
    event: new Uint8Array(n),
    profile: [],
    band: [],
    cluster: [],
    truth: (profile, band) =>
      meanChance(
        profiles[profile as keyof typeof profiles].logOdds + (band === "many" ? high : 0),
        spread,
      ),
  };
  for (let i = 0; i < n; i++) {
    const s = random.choice(busy);
    const kind = kinds[random.choice(shares)]!;
    // of a surgeon and a year: the busiest are nearly always in the upper one
    const often = Math.min(0.95, Math.max(0.05, busy[s]! - 0.2));
    const band = (apart ? 0.5 : random.uniform()) < often ? "many" : "few";
    const logOdds = profiles[kind].logOdds + (band === "many" ? high : 0) + own[s]!;
    const lasting = random.bernoulli(1 / (1 + Math.exp(-logOdds)));
    made.profile.push(kind);
    made.band.push(band);
    made.cluster.push(codes[s]!);
    made.repaired[i] = lasting === 1 ? 1 : random.bernoulli(0.4);
    if (made.repaired[i] === 0) continue;
    const watched = 1 + 13 * random.uniform();
    const ends = lasting === 0 ? 5 * random.uniform() : -25 * Math.log(random.uniform());
    made.time[i] = Math.min(watched, ends);
    made.event[i] = watched < ends ? 0 : lasting === 0 ? 1 : 2;
  }
  return made;
}

/** Mean over surgeons of the chance, their log odds normal about `centre`. */
function meanChance(centre: number, spread: number): number {
  let [sum, mass] = [0, 0];
  for (let z = -6; z <= 6; z += 0.05) {
    const weight = Math.exp(-z * z / 2);
    sum += weight / (1 + Math.exp(-(centre + spread * z)));
    mass += weight;
  }
  return sum / mass;
}
