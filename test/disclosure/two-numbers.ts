import { isSmall } from "../../lib/disclosure/small-counts.ts";
import type { Published } from "./published.ts";
import type { Table } from "./audit-parts.ts";
import { groupSizes } from "./audit.ts";

type Row = Table["rows"][number];

/** Sample and endpoint of a table or figure by its id; weighted numbers are effective ones. */
export function ofWhat(id: string): { sample: string; endpoint: string } | undefined {
  if (/weighted|landmark/.test(id)) return undefined;
  // weighted, though no word of the id says so: effective numbers, not patients
  if (/^(reoperation|reoperation-table|recurrence-severe-table)$/.test(id)) return undefined;
  const endpoint = /^(survival|recurrence|reoperation)/.exec(id)?.[1];
  if (!endpoint) return undefined;
  return { endpoint, sample: id.includes("whole") ? "whole" : "matched" };
}

/**
 * Numbers at risk of recurrence beside those of death and reoperation in the same patients at one
 * time: the difference holds those who left theatre with a leak.
 */
export function risksBeside({ tables, underAxes, findings, smallestCell }: Published): string[] {
  const found = new Map<string, { where: string; endpoint: string; count: number }[]>();
  const put = (key: string, where: string, endpoint: string, count: unknown) => {
    if (typeof count !== "number" || Number.isNaN(count)) return;
    found.set(key, [...found.get(key) ?? [], { where, endpoint, count }]);
  };
  for (const { id, columns, rows } of tables) {
    const what = ofWhat(id);
    if (!what || !columns.some(({ key }) => key === "atRisk")) continue;
    rows.forEach((row, i) =>
      put(`${what.sample} ${row.years} y ${i % 3}`, id, what.endpoint, row.atRisk)
    );
  }
  for (const { figure, what, rows } of underAxes) {
    const of = ofWhat(figure);
    if (!of || what !== "at risk") continue;
    rows.forEach((row, i) =>
      row.forEach((text, tick) => {
        const key = `${of.sample} tick ${tick} of ${row.length}, group ${i % 2}`;
        put(key, figure, of.endpoint, Number(text.replaceAll(",", "")));
      })
    );
  }
  for (const { id, design, endpoint, groups } of findings) {
    groups.forEach(({ n }, i) =>
      put(`${design} finding ${i}`, id, id === "alive-matched" ? "survival" : endpoint, n)
    );
  }
  const followed = tables.find(({ id }) => id === "grades-table")?.rows ?? [];
  const groups = [...new Set(followed.map(({ group }) => group))];
  for (const row of followed) {
    const key = `whole ${row.years} y ${groups.indexOf(row.group ?? null)}`;
    put(key, "grades-table", "reoperation", row.followed);
  }
  return [...found].flatMap(([key, numbers]) =>
    numbers.flatMap((a) =>
      numbers.filter((b) => a.endpoint !== b.endpoint)
        // both stand under curves that show every reoperation
        .filter((b) =>
          ![a, b].every(({ endpoint, where }) =>
            endpoint !== "recurrence" && where !== "grades-table"
          )
        )
        .filter((b) => isSmall(a.count - b.count, smallestCell))
        .map((b) => `${key}: ${a.where} ${a.count}, ${b.where} ${b.count}`)
    )
  );
}

/** Wholes in one table of which parts stand in another. */
export function partsOfWholes(published: Published): string[] {
  const { tables, underAxes, smallestCell } = published;
  const rowsOf = (id: string) => tables.find((table) => table.id === id)?.rows ?? [];
  const leaks: string[] = [];
  const relate = (what: string, whole: unknown, parts: unknown[]) => {
    if (typeof whole !== "number") return;
    const told = parts.filter((part): part is number => typeof part === "number");
    const rest = told.reduce((left, part) => left - part, whole);
    if (told.length > 0 && isSmall(rest, smallestCell)) {
      leaks.push(`${what}: ${whole} less ${told}`);
    }
  };
  const rates = (event: RegExp, group: number) =>
    rowsOf("linearised-rates").filter((row) => event.test(String(row.event)))
      .filter((_, i) => i % 2 === group);
  for (const group of [0, 1]) {
    const of = (what: string) => `${what}, group ${group + 1}`;
    const late = (event: RegExp) => rates(event, group)[0]?.late;
    relate(of("deaths"), rowsOf("observed-expected")[group]?.observed, [late(/^Death/)]);
    for (const row of rowsOf("continuous-table").filter((_, i) => i % 2 === group)) {
      relate(of("recurrences"), row.events, [late(/2\+/)]);
      relate(of("recurrences, late"), late(/2\+/), [row.events]);
    }
    for (const period of ["early", "late"] as const) {
      const events = (event: RegExp) => rates(event, group).map((row) => row[period]);
      const all = (event: RegExp) => events(event)[0];
      relate(of(`${period} reinterventions`), all(/, any$/), events(/^Reintervention for/));
      relate(of(`${period} deaths`), all(/^Death of any/), events(/^Valve-related death/));
      relate(of(`${period} recurrences`), all(/2\+/), events(/3\+/));
    }
    const graded = underAxes.find(({ figure, what }) =>
      figure === "grades-looked-at" && what === "graded"
    )?.rows[group] ?? [];
    const followed = rowsOf("grades-table").filter((_, i, all) =>
      Math.floor(2 * i / all.length) === group
    );
    [0, 0.5, 1, 2, 3, 5].forEach((years, k) => {
      const row = followed.find((one) => one.years === years);
      relate(of(`followed at ${years} y`), row?.followed, [Number(graded[k]?.replaceAll(",", ""))]);
    });
    const procedures = rowsOf("procedures")[group];
    if (procedures) {
      relate(of("procedures"), procedures.total, [procedures.repair]);
      relate(of("procedures"), procedures.total, [procedures.replacement]);
    }
    const changed = rowsOf("ventricle-change")[group]?.n;
    const marked = rowsOf("warning-marks").filter((_, i) => Math.floor(i / 3) === group)
      .map(({ n }) => n);
    relate(of("measured"), groupSizes(published)[group], [changed]);
    if (marked.every((n) => typeof n === "number")) relate(of("marked"), changed, marked);
    const intended = rowsOf("intention").filter((row) => row.by === "as intended")[0];
    const ended = rowsOf("intention").filter((row) => row.by === "as it ended")[0];
    const key = group === 0 ? "repair" : "replacement";
    if (intended && ended) {
      relate(of("intended, ended"), intended[key], [ended[key]]);
      relate(of("ended, intended"), ended[key], [intended[key]]);
    }
  }
  const steps = rowsOf("flow-table");
  for (const [k, label] of published.groups.entries()) {
    const ends = steps.filter(({ step }) => String(step).startsWith(`${label}: `));
    const told = ends.map(({ remaining }) => remaining);
    if (told.every((count) => typeof count === "number")) continue;
    relate(`follow-up's end, group ${k + 1}`, groupSizes(published)[k], told);
    relate(`alive, group ${k + 1}`, groupSizes(published)[k], [
      rowsOf("observed-expected")[k]?.observed,
      ...told.slice(1),
    ]);
  }
  const flow = steps.filter(({ step }) =>
    published.groups.every((label) => !String(step).startsWith(`${label}: `))
  )
    .map(({ remaining }) => remaining);
  flow.slice(0, -2).forEach((count, i) =>
    relate("flow", count, i + 3 < flow.length ? [flow[i + 1]] : [])
  );
  const everybody = groupSizes(published).reduce((sum, count) => sum + count, 0);
  const lines = rowsOf("recurrence-subgroups-table");
  lines.forEach((row, i) => {
    if (row.side !== "yes" || typeof row.n !== "number") return;
    const other: Row | undefined = lines[i + 1];
    if (typeof other?.n === "number") relate(`${row.subgroup}`, everybody, [row.n + other.n]);
  });
  return leaks;
}
