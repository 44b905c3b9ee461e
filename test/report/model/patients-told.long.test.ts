import { deepEqual, ok } from "node:assert/strict";
import { join } from "node:path";
import { findingsSchema } from "../../../lib/report/files/findings-json.ts";
import type { FigureItem, TableItem } from "../../../lib/report/items/mod.ts";
import { tellsPatients } from "../../../lib/report/model/patients-told.ts";
import { demoReport } from "../../demo-report.ts";

/** What rests on no patients, and why. */
const ofNobody = {
  "programme-funnel-power": "chances by the binomial law, for numbers of operations supposed",
};

Deno.test("every table and figure of the report says on how many patients it rests", async () => {
  const read = async (...path: string[]) => Deno.readTextFile(join(await demoReport(), ...path));
  const { tables } = findingsSchema.parse(JSON.parse(await read("findings.json")));
  const captions = (await read("figures", "captions.txt")).split(/\n\n(?=Figure \d)/);
  const figures = captions.map((text) => {
    const [, id = "", title = "", caption = ""] = /^Figure \d+ \((\S+)\)\. (.*?)\. (.*)$/s
      .exec(text) ?? [];
    return { kind: "figure", id, title, caption } as FigureItem;
  });
  ok(tables.length >= 80 && figures.length >= 40, `${tables.length} and ${figures.length}`);
  const items = [...tables.map((table): TableItem => table), ...figures];
  const without = items.filter((item) => !tellsPatients(item)).map(({ id }) => id);
  deepEqual(without, Object.keys(ofNobody));
});
