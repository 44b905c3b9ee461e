import { countText, inSentence, listText } from "../../words/mod.ts";
import type { FigureItem, TableItem } from "../items/mod.ts";

type Captioned = TableItem | FigureItem;
/** As far as they are read here. */
interface Shown {
  tables: { item: TableItem }[];
  figures: { item: FigureItem }[];
}

/**
 * Whether an item says how many patients it rests on: its caption, its notes, a heading, or a
 * column that counts them.
 */
export function tellsPatients(item: Captioned): boolean {
  const table = item.kind === "table" ? item : { notes: [], columns: [] };
  const words = [item.title, item.caption, ...table.notes ?? []].join(" ").replace(rates, "");
  return counted.test(words) ||
    table.columns.some(({ label }) => counting.test(label) || counted.test(label));
}

const rates = /per (100|1,000) patients|\d+ of 100\b/g;
const counted =
  /(?<!\bthan )\b[\d,]*\d (patients|pairs)\b|n\s=\s\d|\d \([^)]*(intended|repair|replacement)[^)]*\)/i;
// a column of patients: of each kind, or at each time
const counting = /^(Patients|Pairs|Number|At risk|Followed|Everyone)$/;

/**
 * Says under each of the project's own figures and tables that does not say it itself how many
 * patients it rests on: in this one place, from the tables that count them. What is not named here,
 * as in a centre's own notebook, is left as it is.
 */
export function tellPatients({ tables, figures }: Shown): void {
  const rowsOf = (id: string) => tables.find(({ item }) => item.id === id)?.item.rows ?? [];
  const groups = rowsOf("completeness").map(({ patients }) => Number(patients));
  const n = groups.reduce((sum, size) => sum + size, 0);
  if (!(n > 0)) return;
  const analysed = `${countText(n)} patients analysed`;
  // as they may be published: a bound is a text, and nothing stands where one is withheld
  const measured = rowsOf("ventricle-change").filter(({ n }) => /\d/.test(String(n)))
    .map(({ group, n }) =>
      `${typeof n === "number" ? countText(n) : n} (${inSentence(String(group))})`
    );
  const words: Record<Whom, string> = {
    all: `All ${analysed}.`,
    some: `From ${analysed}.`,
    atRisk: `Of ${analysed}, those at risk of recurrence.`,
    measured: `Of ${analysed}, those measured before and about a year after` +
      `${measured.length > 0 ? `: ${listText(measured)}` : ""}.`,
  };
  const told = <Item extends Captioned>(item: Item): Item => {
    const whom = whomOf.get(item.id);
    if (whom === undefined || tellsPatients(item)) return item;
    return { ...item, caption: `${item.caption} ${words[whom]}`.trim() };
  };
  for (const placed of tables) placed.item = told(placed.item);
  for (const placed of figures) placed.item = told(placed.item);
}

/** All; some, whom the caption names; or one of two kinds that many results rest on. */
type Whom = "all" | "some" | "atRisk" | "measured";

const whomOf = new Map<string, Whom>(
  Object.entries({
    all: `echo-schedule propensity balance balance-table finer-comparisons weights-cut hazard-ratios
      years-of-life hazard-ratio-periods observed-expected not-at-risk reoperation-table
      linearised-rates valve-events early-events visit-times visit-model four-ways-table
      intention imputed-values missing-ways not-at-random supposed-confounders lost-to-follow-up
      ratio-over-time programme-score-quality programme-calibration programme-spread programme-surgeons
      programme-durable programme-years-durable programme-years-complexity programme-changes`,
    some: `measured-by-mechanism missing-values matching-orders survival-landmark
      visit-weighted visit-weighted-table grades-looked-at needed-confounding survival-paths
      survival-paths-table valve-paths valve-paths-table negative-controls surgeon-allowed-for
      failure-over-measurements populations-balance programme-funnel-target
      programme-surgeon-answers programme-learning-conversion programme-learning-clamp
      programme-learning programme-referral programme-referral-quality programme-monitoring`,
    atRisk: `recurrence-whole recurrence-weighted-table two-quantities recurrence-severe-table
      recurrence-hazard-ratios recurrence-dating recurrence-dating-table recurrence-between-table
      continuous-table sought-thresholds states states-months recurrence-three-ways
      confounder-yardstick misread-grades unseen-recurrence`,
    measured: `ventricle-risk-table ventricle-ef-change ventricle-esd-change ventricle-model
      ventricle-calibration ventricle-decision ventricle-told-apart`,
  }).flatMap(([whom, ids]) => ids.split(/\s+/).map((id) => [id, whom as Whom] as const)),
);
