import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { join } from "node:path";
import { parseHTML } from "linkedom";
import type { CellSource } from "./notebooks/make-notebook.ts";
import { filesBelow, quickReport, withWorkspace } from "./workspace.ts";

const nasty = '<script>alert("x")</script>';

const notebooks: Record<string, CellSource[]> = {
  "01-words": [
    {
      markdown:
        `# Words ${nasty}\n\n${nasty} [bad](javascript:alert(1)) ![seen](https://x.invalid/y)` +
        "\n\n## Formula\n\n$$\\hat S(t)$$\n\nand $x_1$, for $5 or $6\n\n[out](https://example.org/)",
    },
    `import { display, finding, note, openStudy, table } from "mitral";\nconst study = await openStudy();`,
    `console.log(${JSON.stringify(nasty)});\nconsole.warn("careful");`,
    `await display(note({ id: "n", about: "caution", text: ${
      JSON.stringify(nasty)
    } }));\nstudy.seed`,
    `table({ id: "t", title: ${JSON.stringify(nasty)}, caption: "c",
  columns: [{ key: "a", label: ${JSON.stringify(nasty)} }], rows: [{ a: "=1" }, { a: "b" }] })`,
    `const group = (label: string, estimate: number) => ({ label, estimate, lower: 0.5, upper: 0.9, n: 9 });
finding({ id: "f", endpoint: "death", quantity: "alive", horizon: 5, design: "matched",
  estimand: "matched sample", groups: [group("repair", 0.71), group("replacement", 0.69)],
  difference: { estimate: 0.71 - 0.69, lower: -0.04, upper: 0.08 },
  tableId: "t", figureId: "fig", headline: true })`,
    `({ [Symbol.for("Jupyter.display")]: () => ({ "text/plain": "plain", "text/html": ${
      JSON.stringify(nasty)
    } }) })`,
  ],
  "02-pictures": [
    { markdown: "# Pictures" },
    `const svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" onload="x()"><script>1</script>' +
  '<image href="https://x.invalid/z.png"/><rect id="r" width="9" height="9" style="fill:url(https://x.invalid)"/>' +
  '<foreignObject><p>x</p></foreignObject></svg>';
({ kind: "figure", id: "fig", title: "A figure", caption: "c", alt: "A square", svg, tableId: "t" })`,
    "// nothing to show\nconst unused = 2;",
    "undefined",
    '"text"',
    "Promise.resolve([1, 2])",
  ],
};

Deno.test("buildReport() gives the same bytes twice, and one page that runs and fetches nothing", async (t) => {
  await withWorkspace(notebooks, async ({ study, notebooks, out }) => {
    const { model } = await quickReport({ study, notebooks, out });
    assert.deepEqual(model.failures, []);
    assert.deepEqual(model.items.warnings, []);
    const once = await filesBelow(out);
    const html = once.get("supplement.html") ?? "";
    const { document } = parseHTML(html);
    const article = parseHTML(once.get("report.html") ?? "").document;
    const pages = ["report.html", "supplement.html", "brief.html"].map((name) => ({
      name,
      text: once.get(name) ?? "",
      document: parseHTML(once.get(name) ?? "").document,
    }));

    await t.step("two runs differ in the manifest only", async () => {
      await quickReport({ study, notebooks, out });
      const again = await filesBelow(out);
      assert.deepEqual([...once.keys()], [...again.keys()]);
      for (const [path, text] of once) {
        if (path !== "manifest.json") assert.equal(again.get(path), text, path);
      }
    });

    await t.step("every kind of file is there", () => {
      assert.deepEqual([...once.keys()], [
        "brief.html",
        "figures/captions.txt",
        "figures/fig.svg",
        "findings.json",
        "manifest.json",
        "manuscript/figure-1-1-column.svg",
        "manuscript/figure-1-2-columns.svg",
        "manuscript/manuscript.docx",
        "notebooks/01-words.ipynb",
        "notebooks/02-pictures.ipynb",
        "report.html",
        "supplement.html",
        "tables/t.csv",
        "tables/tables.docx",
      ]);
    });

    await t.step("what was found is kept for programs, without a path of this machine", () => {
      const text = once.get("findings.json") ?? "";
      const found = JSON.parse(text);
      assert.deepEqual(found.tables.map(({ id }: { id: string }) => id), ["t"]);
      assert.equal(found.plan.files.cohort, "patients.csv");
      assert.ok(!text.includes(study.replace(/[^/\\]+$/, "")));
    });

    await t.step("nothing runs but the one script that the page's policy names", () => {
      assert.equal(document.querySelectorAll("iframe, object, embed, base").length, 0);
      assert.doesNotMatch(once.get("brief.html") ?? "", /<script|script-src/);
      // "<" may stand in an attribute, where it begins nothing
      const inAttribute = /="[^"]*$/;
      const scripts = [...html.matchAll(/<script\b[^>]*>([\s\S]*?)<\/script>/g)]
        .filter(({ index }) =>
          !inAttribute.test(html.slice(html.lastIndexOf("<", index - 1), index))
        );
      assert.equal(scripts.length, 1);
      assert.equal(document.querySelectorAll("script").length, 1);
      const hash = createHash("sha256").update(scripts[0]?.[1] ?? "").digest("base64");
      // the parser of this test leaves quotation marks written as numbers
      const policy = (document.querySelector("meta[http-equiv]")?.getAttribute("content") ?? "")
        .replaceAll("&#x27;", "'");
      assert.match(policy, /^default-src 'none'; script-src 'sha256-[^' ]+'; /);
      assert.ok(policy.includes(`'sha256-${hash}'`));
      for (const element of document.querySelectorAll("*")) {
        for (const { name, value } of element.attributes) {
          assert.doesNotMatch(name, /^on/i);
          assert.doesNotMatch(value, /^\s*javascript:/i);
        }
      }
    });

    await t.step("nothing is fetched: addresses stand in links and namespaces only", () => {
      for (const { name, document } of pages) {
        assert.equal(document.querySelectorAll("[src], link, image, img, use").length, 0, name);
        for (const style of document.querySelectorAll("style")) {
          assert.ok(!/url\(|@import|@font-face/.test(style.textContent ?? ""), name);
        }
        for (const element of document.querySelectorAll("*")) {
          for (const { value } of element.attributes) {
            assert.doesNotMatch(value, /url\((?!#)/, name);
          }
        }
      }
    });

    await t.step("every link of a page leads somewhere, on it or on the page beside it", () => {
      let between = 0;
      for (const { name, document } of pages) {
        for (const link of document.querySelectorAll("a[href]")) {
          const href = link.getAttribute("href") ?? "";
          if (href === "https://example.org/") continue;
          const [file, anchor] = href.split("#");
          const target = pages.find((page) => page.name === (file || name));
          assert.ok(target, `${name}: ${href} leads nowhere`);
          if (file) between++;
          const there = !anchor || target.document.getElementById(anchor);
          assert.ok(there, `${name}: ${href} leads nowhere`);
        }
      }
      assert.ok(between > 5);
    });

    await t.step("nothing is lost: every item of the run is in the supplement", () => {
      const { figures, tables, findings, notes } = model.items;
      for (const { item } of [...figures, ...tables, ...findings, ...notes]) {
        assert.ok(document.getElementById(`${item.kind}-${item.id}`), item.id);
      }
    });

    await t.step("drawings on disk have nothing that runs or fetches", () => {
      assert.doesNotMatch(once.get("figures/fig.svg") ?? "", /x\.invalid|onload|script|foreign/);
    });

    await t.step("what notebooks and study say is text", () => {
      assert.equal(document.querySelectorAll("img, b[onclick]").length, 0);
      assert.equal(article.querySelector("title")?.textContent, model.study.title);
      const words = document.getElementById("notebook-01-words")?.textContent ?? "";
      assert.equal(words.split(nasty).length - 1 >= 6, true);
      assert.match(words, /plain/);
      assert.match(words, /for \$5 or \$6/);
    });

    await t.step("ids are unique and headings form an outline", () => {
      const ids = [...document.querySelectorAll("[id]")].map((element) => element.id);
      assert.deepEqual(ids.filter((id, index) => ids.indexOf(id) !== index), []);
      const levels = [...document.querySelectorAll("h1, h2, h3, h4, h5, h6")]
        .map((heading) => Number(heading.tagName.slice(1)));
      assert.equal(levels.filter((level) => level === 1).length, 1);
      levels.forEach((level, index) => {
        assert.ok(index === 0 || level <= (levels[index - 1] ?? 0) + 1, `heading ${index}`);
      });
    });

    await t.step("the first screen holds answer, picture and limits, written by rule", () => {
      const answer = article.querySelector(".answer")?.textContent ?? "";
      assert.match(answer, /Survival: not settled/);
      assert.match(
        answer,
        /about 71 were alive 5 years after repair and about 69 after replacement/,
      );
      assert.ok(article.querySelector("#survival .figure svg"));
      assert.match(article.querySelector(".pair")?.textContent ?? "", /not assigned at random/);
    });

    await t.step("a figure leads to its table and to its cell", () => {
      const caption = document.querySelector("#figure-fig figcaption");
      assert.ok(caption?.querySelector('a[href="#table-t"]'));
      assert.ok(caption?.querySelector('a[href="#code-02-pictures-1"]'));
      assert.match(caption?.textContent ?? "", /exploratory/);
    });

    await t.step("executed notebooks hold what each cell showed, in order", () => {
      const ran = JSON.parse(once.get("notebooks/01-words.ipynb") ?? "");
      const kinds = ran.cells.slice(1).map((cell: { outputs: { output_type: string }[] }) =>
        cell.outputs.map(({ output_type }) => output_type)
      );
      assert.deepEqual(kinds, [
        [],
        ["stream", "stream"],
        ["display_data", "execute_result"],
        ["execute_result"],
        ["execute_result"],
        ["execute_result"],
      ]);
      const data = ran.cells[4].outputs[0].data["application/vnd.mitral+json"];
      assert.deepEqual(data.rows, [{ a: "=1" }, { a: "b" }]);
      const pictures = JSON.parse(once.get("notebooks/02-pictures.ipynb") ?? "");
      assert.deepEqual(
        pictures.cells.slice(2).map((cell: { outputs: { data: Record<string, string[]> }[] }) =>
          cell.outputs[0]?.data["text/plain"]
        ),
        [undefined, undefined, ['"text"'], ["[ 1, 2 ]"]],
      );
    });

    await t.step("the manifest holds hashes of what went in and came out", async () => {
      const manifest = JSON.parse(once.get("manifest.json") ?? "");
      assert.equal(manifest.complete, true);
      assert.deepEqual(manifest.notIdentifying, []);
      assert.equal(manifest.inputs.length, 5);
      const bytes = new TextEncoder().encode(html);
      const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)).toHex();
      assert.equal(manifest.outputs["supplement.html"], digest);
      assert.equal(manifest.versions.deno, Deno.version.deno);
      assert.ok(html.includes(manifest.inputs[1].sha256));
    });
  });
});

Deno.test("buildReport() says when two cells show things of one name, or a thing it cannot read", async () => {
  const shown = '({ kind: "table", id: "t", title: "T", caption: "", ' +
    'columns: [{ key: "a", label: "A" }], rows: [] })';
  await withWorkspace(
    { "01-a": [shown], "02-b": [shown, '({ kind: "table", id: "No" })'] },
    async ({ study, notebooks, out }) => {
      await Deno.writeTextFile(join(notebooks, "03-c.ipynb"), "{}");
      const { model } = await quickReport({ study, notebooks, out });
      assert.deepEqual(model.failures.map(({ notebook, cell }) => [notebook, cell]), [
        ["03-c", undefined],
        ["02-b", 1],
        ["02-b", 2],
      ]);
      assert.match(model.failures[1]?.message ?? "", /table t was shown already by 01-a, cell 1/);
    },
  );
});
