import { referralTable, SeededRandom } from "mitral";
import { referrals } from "../../programme/referrals.ts";
import { section } from "./section.ts";

const firstSeed = 500_000;
const cases = [
  { surgeons: 7, spread: 0, apart: false },
  { surgeons: 7, spread: 0.3, apart: false },
  { surgeons: 7, spread: 0.5, apart: false },
  { surgeons: 7, spread: 0.5, apart: true },
  { surgeons: 14, spread: 0.3, apart: false },
  { surgeons: 30, spread: 0.3, apart: false },
];

/**
 * Limits of the chance of a lasting repair, by profile and band of volume, against the true chance.
 */
export function referral(count: number): void {
  const rows = cases.map((one) => {
    let [n, below, bias, width] = [0, 0, 0, 0];
    const shares: number[] = [];
    const own = new Map<string, [held: number, of: number]>();
    for (let k = 0; k < count; k++) {
      const { truth, ...data } = referrals(new SeededRandom(firstSeed + k), one);
      const { cells } = referralTable(data, { horizon: 5 });
      let held = 0;
      for (const { profile, band, chance } of cells) {
        const there = truth(String(profile), String(band));
        const holds = chance.lower <= there && there <= chance.upper;
        n++;
        if (holds) held++;
        if (there < chance.lower) below++;
        bias += chance.estimate - there;
        width += chance.upper - chance.lower;
        const cell = own.get(`${profile} ${band}`) ?? [0, 0];
        own.set(`${profile} ${band}`, [cell[0] + Number(holds), cell[1] + 1]);
      }
      shares.push(100 * held / cells.length);
    }
    // cells of one programme go together
    const mean = shares.reduce((sum, share) => sum + share, 0) / count;
    const squares = shares.reduce((sum, share) => sum + (share - mean) ** 2, 0);
    const error = Math.sqrt(squares / (count - 1) / count);
    const worst = Math.min(...Array.from(own.values(), ([within, of]) => within / of));
    return `| ${one.surgeons}${one.apart ? ", each in one band" : ""} | ${one.spread} | ` +
      `${mean.toFixed(1)} (${error.toFixed(1)}) | ${(100 * worst).toFixed(1)} | ${
        (100 * below / n).toFixed(1)
      } | ` +
      `${(100 * bias / n).toFixed(2)} | ${(100 * width / n).toFixed(0)} |`;
  });
  section(
    "referral",
    [
      `Chance of a lasting repair by profile and band of surgeon volume: ${count} programmes of 1600`,
      `operations each, first seed ${firstSeed}, six profiles, two bands, 5 years, three in ten repairs`,
      "watched for less. The true chance is that of surgeons such as these, whose log odds differ by the",
      "spread. In per cent; worst cell: the least of twelve, each with an error of about 1.1.",
      "",
      "| Surgeons | Spread | 95% limits hold | Worst cell | Truth below them | Bias | Width |",
      "| --- | --- | --- | --- | --- | --- | --- |",
      ...rows,
    ].join("\n"),
  );
}
