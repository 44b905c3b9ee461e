import { deepEqual, equal, match, ok } from "node:assert/strict";
import fc from "fast-check";
import { readFigure } from "../../../lib/report/reading/figures.ts";
import { Notes } from "../../../lib/report/reading/facts.ts";
import { flowFigure } from "../../../lib/figures/patients/flow-figure.ts";
import {
  completenessTable,
  flowTable,
  type FollowUpEnds,
  publishableFlow,
} from "../../../lib/report/cohort-tables/mod.ts";
import { publishableEnds } from "../../../lib/report/cohort-tables/follow-up-ends.ts";
import { endsSentence } from "../../../lib/report/sentences/mod.ts";
import { followUpCompleteness } from "../../../lib/cohort/mod.ts";
import { analysis, cohort, labels, phrases } from "../../demo-analysis.ts";

const heading = { id: "flow", title: "T", caption: "C" };

Deno.test("flow table, figure, words and table of completeness say the same of how follow-up ended", () => {
  const flow = publishableFlow(analysis, cohort);
  const completeness = followUpCompleteness(analysis);
  const { rows } = flowTable(heading, flow);
  const figure = flowFigure({ ...heading, ...flow });
  const drawn = figure.svg.replace(/<desc.*?<\/desc>/s, "").replace(/<[^>]+>/g, " ")
    .replace(/\s+/g, " ");
  const words = endsSentence(flow, phrases);
  const lost = completenessTable({ ...heading, labels, smallestCell: 11 }, completeness).rows;
  completeness.forEach(({ arm, patients, died, followed, lostEarly }, k) => {
    equal(died + followed + lostEarly, patients);
    ok(Math.min(died, followed, lostEarly) >= 11, "none is bounded in the demonstration");
    const at = rows.findIndex(({ step }) => step === labels[arm]);
    const shown = rows.slice(at, at + 4).map(({ remaining }) => remaining);
    deepEqual(shown, [patients, died, followed, lostEarly]);
    equal(lost[k]!.lostEarly, lostEarly);
    for (const text of [drawn, figure.alt]) {
      match(
        text,
        new RegExp(`${died} died.*${followed} alive, followed.*${lostEarly} alive, last`),
      );
    }
    match(
      words,
      new RegExp(`${phrases[arm]} ${died} died, ${followed} were followed.* and ${lostEarly} were`),
    );
  });
});

Deno.test("whoever reads the flow diagram finds how follow-up ended in each group", () => {
  const notes = new Notes({ groups: [labels.repair, labels.replacement], smallestCell: 11 });
  const { kind: _, ...figure } = flowFigure({ ...heading, ...publishableFlow(analysis, cohort) });
  readFigure({ kind: "figure", ...figure }, notes);
  const found = notes.clues.filter(({ from }) => from === "figure flow")
    .map(({ parts, low, high }) => [parts[0]!.count, low, high]);
  for (const { arm, died, followed, lostEarly } of followUpCompleteness(analysis)) {
    const own = found.filter(([name]) => String(name).startsWith(`${labels[arm]}: `));
    const counts = [["died", died], ["followed to the end", followed], ["lost early", lostEarly]];
    for (const [name, count] of counts) {
      deepEqual(own.find(([one]) => one === `${labels[arm]}: ${name}`)?.slice(1), [count, count]);
    }
  }
});

Deno.test("publishableEnds() bounds a small kind, and what it would follow from", () => {
  const ends = (died: number, followed: number, lostEarly: number) => {
    const patients = died + followed + lostEarly;
    const shown = publishableEnds({ patients, died, followed, lostEarly }, 11);
    return [shown.died, shown.followed, shown.lostEarly];
  };
  // by hand
  deepEqual(ends(165, 816, 55), [165, 816, 55]);
  deepEqual(ends(165, 816, 0), [165, 816, 0]);
  // of 821 alive: 816 and 5 would follow from each other
  deepEqual(ends(165, 816, 5), [165, "> 810", "< 11"]);
  deepEqual(ends(165, 6, 55), [165, "< 11", "> 50"]);
  // three died: those lost would tell, with those followed
  deepEqual(ends(3, 300, 97), ["< 11", 300, "> 89"]);
  // 9 and 10 would be the only two that add up to 19
  deepEqual(ends(9, 10, 100), ["< 11", "< 11", "> 97"]);
});

// Another way: every three counts that a reader could put for what is shown.
Deno.test("no small kind of how follow-up ended can be worked out from those shown", () => {
  const most = 90;
  const possible = (shown: number | string): [low: number, high: number] => {
    if (typeof shown === "number") return [shown, shown];
    const bound = Number(shown.slice(2));
    return shown.startsWith("<") ? [1, bound - 1] : [bound + 1, most];
  };
  const keys = ["died", "followed", "lostEarly"] as const;
  const count = fc.nat(most / 3);
  fc.assert(
    fc.property(count, count, count, (died, followed, lostEarly) => {
      const patients = died + followed + lostEarly;
      // of fewer all three may be small
      fc.pre(patients >= 33);
      const shown: FollowUpEnds = publishableEnds({ patients, died, followed, lostEarly }, 11);
      const ranges = keys.map((key) => possible(shown[key]));
      const values = keys.map(() => new Set<number>());
      for (let a = ranges[0]![0]; a <= ranges[0]![1]; a++) {
        for (let b = ranges[1]![0]; b <= ranges[1]![1]; b++) {
          const c = patients - a - b;
          if (c < ranges[2]![0] || c > ranges[2]![1]) continue;
          [a, b, c].forEach((value, k) => values[k]!.add(value));
        }
      }
      [died, followed, lostEarly].forEach((value, k) => {
        ok(values[k]!.has(value), "what is shown is true");
        if (value === 0 || value >= 11) return;
        ok(values[k]!.size >= 5, JSON.stringify({ died, followed, lostEarly, shown }));
      });
    }),
    { numRuns: 3000 },
  );
});
