import { ok } from "node:assert/strict";
import { german, ofWorkbook } from "./answers.ts";
import { reconciles, sameAsDrawn, sameFiltration, sameVisits, usual } from "./as-drawn.ts";
import { takeRegistry } from "./begin.ts";
import { germanRegistry, workbookRegistry } from "./invented.ts";
import { nationalAsDrawn } from "./national-as-drawn.ts";

Deno.test("a German CSV export comes out as it was drawn, dates, words and status among it", async () => {
  const registry = germanRegistry();
  await takeRegistry(registry, german, (taken) => {
    sameAsDrawn(taken, registry, [...usual, "copd", "leaflet", "tether"]);
    sameFiltration(taken, registry);
    sameVisits(taken, registry);
    reconciles(taken, registry);
    console.log(`German export: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
    ok(taken.talk.given <= 30, `${taken.talk.given} answers`);
  });
});

Deno.test("a workbook with titles, merged cells and free texts comes out as it was drawn", async () => {
  const registry = workbookRegistry();
  await takeRegistry(registry, ofWorkbook, (taken) => {
    sameAsDrawn(taken, registry, [
      "op_year",
      "age",
      "sex",
      "diabetes",
      "nyha",
      "mr_pre",
      "lvef",
      "lvedd",
      "af_pre",
      "copd",
      "urgency",
      "ie_active",
      "redo",
      "aetiology",
      "leaflet",
      "tether",
      "intended",
      "final",
      "mr_exit",
      "fu_days",
      "dead",
      "reint",
      "reint_day",
      "ring_mm",
      "cabg_grafts",
      "af_ablation",
    ]);
    sameFiltration(taken, registry);
    sameVisits(taken, registry);
    reconciles(taken, registry, 1);
    console.log(`Workbook: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
    ok(taken.talk.given <= 40, `${taken.talk.given} answers`);
  });
});

Deno.test("a national file comes out as it was drawn", () => nationalAsDrawn(3000));
