import assert from "node:assert/strict";
import { limitsHeld, openStudy, soundTo } from "mitral";
import type { ReportModel } from "../../../lib/report/model/mod.ts";
import { limitsHeldTree } from "../../../lib/report/supplement/limits-held-tree.ts";
import { htmlText } from "../../../lib/report/tree/mod.ts";

const study = await openStudy();
const textOf = (plan: typeof study) => htmlText(limitsHeldTree({ study: plan } as ReportModel));

Deno.test("the appendix has a line for every quantity, and each group beside their difference", () => {
  const text = textOf(study);
  const lines = [...text.matchAll(/<tr><th scope="row">(.*?)<\/th>(.*?)<\/tr>/g)].map(
    ([, name, cells]) => ({
      name: name!,
      cells: [...cells!.matchAll(/<td>(.*?)<\/td>/g)].map(([, cell]) => cell!),
    }),
  );
  const of = (start: string, years: number) =>
    lines.find(({ name, cells }) => name === start && cells[0] === String(years))!.cells;
  const [demo, harder] = limitsHeld();
  const held = (of: string) =>
    [demo, harder].map((mix) => {
      const { coverage, tooSeldom } = mix!.quantities.find((one) =>
        one.quantity === "reoperation" && one.design === "weighted" &&
        one.population === "everyone" && one.time === 5 && one.of === of
      )!;
      return `${(100 * coverage).toFixed(1)}%${tooSeldom ? " (too seldom)" : ""}`;
    }).join("; ");
  const label = study.endpoints.find(({ id }) => id === "reoperation")!.label;
  assert.deepEqual(of(`${label}, weighted`, 5), [
    "5",
    held("repair - replacement"),
    held("repair"),
    held("replacement"),
  ]);
  for (const { id, label } of study.endpoints.filter(({ id }) => id !== "operative-death")) {
    if (!demo!.quantities.some(({ quantity }) => quantity === id)) continue;
    for (const years of study.horizons) {
      assert.ok(of(`${label}, weighted`, years).every((cell) => cell !== ""), `${id}, ${years}`);
    }
  }
  assert.ok(lines.some(({ name }) => name.startsWith("Late rate of death")));
  const visits = lines.filter(({ name }) => name.startsWith("Leak among the living, on-schedule"));
  assert.ok(visits.length > 0);
  assert.ok(visits.every(({ cells }) => Number(cells[0]) <= soundTo("on-schedule").years));
  assert.match(text, /<th scope="col">Repair/i);
});

Deno.test("the appendix says what was not measured, the plan's own endpoints among it", () => {
  const own = { ...study.endpoints[0]!, id: "own-endpoint", label: "An endpoint of our own" };
  const text = textOf({ ...study, endpoints: [...study.endpoints, own] });
  assert.match(text, /Not measured in such cohorts: .*An endpoint of our own/);
  assert.match(textOf(study), /Not measured in such cohorts: .*odds ratios/);
});

Deno.test("the appendix has both sides of each subgroup, their difference, and populations against the rest", () => {
  const names = [...textOf(study).matchAll(/<tr><th scope="row">(.*?)<\/th>/g)].map(([, name]) =>
    name!
  );
  const subgroups = study.thresholds.filter(({ purpose }) => purpose === "subgroup");
  assert.ok(subgroups.length > 0);
  for (const { label } of subgroups) {
    for (const side of ["yes", "no", "yes minus no"]) {
      assert.ok(names.some((name) => name.endsWith(`; ${label}: ${side}`)), `${label}: ${side}`);
    }
  }
  const tethered = study.populations.find(({ id }) => id === "secondary-tethered")!;
  assert.ok(names.some((name) => name.endsWith(`; ${tethered.label}: yes minus no`)));
  assert.ok(names.some((name) => name.includes("drawn towards the mean of populations; ")));
  // of a plan without them they are not told
  const none = textOf({ ...study, thresholds: [], populations: study.populations.slice(0, 1) });
  assert.doesNotMatch(none, /: yes minus no|drawn towards/);
});
