import { deepEqual, ok } from "node:assert/strict";
import { join } from "node:path";
import { parseHTML } from "linkedom";
import { articleSections } from "../../../lib/report/article/mod.ts";
import { demoReport } from "../../demo-report.ts";

const { document } = parseHTML(await Deno.readTextFile(join(await demoReport(), "report.html")));
// the other designs of a figure wait in templates until a reader asks for them
const parts = [
  document,
  ...[...document.querySelectorAll("template")].map(({ content }) => content),
];
const every = (selector: string) => parts.flatMap((part) => [...part.querySelectorAll(selector)]);
const items = every("figure.figure, figure.table");
const figures = items.filter(({ classList }) => classList.contains("figure"));

function caption(item: Element): string {
  const parts = [item.querySelector("figcaption"), ...item.querySelectorAll(".table-note")];
  return parts.map((part) => part?.textContent ?? "").join(" ").replace(/\s+/g, " ");
}

function idsWithout(what: RegExp, of: readonly Element[]): string[] {
  return of.filter((item) => !what.test(caption(item))).map(({ id }) => id);
}

Deno.test("every caption of the article says how many patients it is of", () => {
  ok(figures.length >= 10 && items.length >= 20, "the article has its figures and tables");
  const counted = /\d (patients|pairs)|n = \d|\d \([^)]*(intended|repair|replacement)[^)]*\)/i;
  deepEqual(idsWithout(counted, figures), []);
  // a table may count them in a column of its own, or in its rows
  const tables = items.filter((item) =>
    !figures.includes(item) && ![...item.querySelectorAll("th")].some((head) =>
      /n\s*=\s*\d/.test(head.textContent)
    ) &&
    ![...item.querySelectorAll("th[scope=col]")].some((head) =>
      /^(Patients|Everyone)/.test(head.textContent)
    )
  );
  deepEqual(idsWithout(counted, tables), []);
});

Deno.test("every caption of the article says whom it is of, and whether it was planned", () => {
  const whom =
    /among|all |analysed|weighted|matched|after an? |case mix|eligible|before and about|died|mid-year/i;
  deepEqual(idsWithout(whom, figures), []);
  deepEqual(idsWithout(/planned|exploratory/, items), []);
});

Deno.test("a caption says more than its title", () => {
  for (const item of figures) {
    const title = item.querySelector("figcaption b")?.textContent ?? "";
    ok(title.length > 10, item.id);
    ok(caption(item).length > title.length + 30, item.id);
  }
});

Deno.test("every section of the article has its figure", () => {
  const without = articleSections.filter(({ id }) =>
    document.getElementById(id) && !document.getElementById(id)?.querySelector("figure.figure")
  );
  // patients and operations are a table
  deepEqual(without.map(({ id }) => id), ["patients"]);
});

Deno.test("no number at risk is above the number of patients of its group", () => {
  const sizes = [...document.querySelectorAll("#figure-flow svg text")]
    .map(({ textContent }) => textContent).filter((text) => /^[\d,]+$/.test(text))
    .map((text) => Number(text.replaceAll(",", "")));
  // repair first, as in the diagram of who was studied
  const groups = sizes.slice(-2);
  let seen = 0;
  for (const drawing of every("figure.figure svg")) {
    [...drawing.querySelectorAll("g[data-part=risk-count]")].forEach((row, k) => {
      for (const count of row.querySelectorAll("text")) {
        const value = Number(count.textContent.replace(/[<>,\s]/g, ""));
        ok(value <= groups[k % 2]!, `${value} of ${groups[k % 2]}`);
        seen++;
      }
    });
  }
  ok(seen >= 30, `${seen} numbers at risk`);
});
