import assert from "node:assert/strict";
import { join } from "node:path";
import { parseHTML } from "linkedom";
import { openStudy, planSha256 } from "mitral";
import { publishedPlan } from "../../../lib/report/files/mod.ts";
import { lockWords } from "../../../lib/report/lock/mod.ts";
import { quickReport, withWorkspace } from "../workspace.ts";

Deno.test("the report says whether the plan was locked, what changed, and how many tests it prints", async () => {
  const cell = '({ kind: "table", id: "t", title: "T", caption: "", status: "planned",\n' +
    '  columns: [{ key: "a", label: "A" }, { key: "p", label: "p", kind: "pvalue" }],\n' +
    "  rows: [0.01, 0.5, null, 0.2].map((p) => ({ a: 1, p })) })";
  await withWorkspace({ "01-a": [cell] }, async ({ study, notebooks, out }) => {
    const { model } = await quickReport({ study, notebooks, out });
    assert.equal(model.lock, null);
    assert.match(lockWords(model), /was not locked/);
    const page = async () =>
      parseHTML(await Deno.readTextFile(join(out, "supplement.html"))).document;
    const around = async () => {
      const heading = (await page()).querySelector("#plan-lock");
      let text = "";
      for (
        let at = heading?.nextElementSibling;
        at && at.tagName !== "H3";
        at = at.nextElementSibling
      ) {
        text += `${at.textContent}\n`;
      }
      return text;
    };
    assert.match(await around(), /3 p values, 1 of them below 0\.05/);
    const manifest = async () => JSON.parse(await Deno.readTextFile(join(out, "manifest.json")));
    const { firstRunAt } = await manifest();
    const opened = await openStudy(study);
    await Deno.writeTextFile(
      study.replace(/\.json$/, ".lock.json"),
      JSON.stringify({
        lockedAt: "2031-02-03T04:05:06.000Z",
        planSha256: await planSha256(opened),
        outcomesSeenAt: null,
        files: {},
        plan: { ...JSON.parse(await Deno.readTextFile(study)), landmark: 0.5 },
      }),
    );
    await quickReport({ study, notebooks, out });
    const text = await around();
    assert.match(text, /locked on 3 February 2031, before any report with outcomes/);
    assert.match(text, /Landmark: was “0\.5”, is now “0\.25”/);
    // a change that may not be published is not passed over
    const lockFile = study.replace(/\.json$/, ".lock.json");
    const kept = JSON.parse(await Deno.readTextFile(lockFile));
    const same = { ...kept, plan: JSON.parse(JSON.stringify(publishedPlan(opened))) };
    await Deno.writeTextFile(lockFile, JSON.stringify(same));
    await quickReport({ study, notebooks, out });
    assert.match(await around(), /Nothing of the plan or the files has changed/);
    await Deno.writeTextFile(lockFile, JSON.stringify({ ...same, planSha256: "0".repeat(64) }));
    await quickReport({ study, notebooks, out });
    assert.match(await around(), /what is not published/);
    // the first run stays the first
    assert.equal((await manifest()).firstRunAt, firstRunAt);
    await Deno.writeTextFile(study.replace(/\.json$/, ".lock.json"), "{}");
    await assert.rejects(quickReport({ study, notebooks, out }), /lock/);
  });
});
