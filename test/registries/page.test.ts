import { deepEqual, equal, match, ok } from "node:assert/strict";
import { join } from "node:path";
import type { Desk } from "../../lib/cohort/begin/mod.ts";
import { beginStudy } from "../../lib/report/begin/begin-study.ts";
import { openPage } from "../../lib/report/begin/page/mod.ts";
import { german, ofWorkbook, type PersonsAnswers } from "./answers.ts";
import { clicksFor, pageOf, press } from "./clicks.ts";
import { germanRegistry, type Registry, workbookRegistry } from "./invented.ts";

/** A folder with a registry's files. */
async function withFiles(
  { files }: Registry,
  use: (folder: string) => Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    for (const [name, content] of Object.entries(files)) {
      const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
      await Deno.writeFile(join(folder, name), bytes);
    }
    await use(folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

const pathsOf = (folder: string, { start }: PersonsAnswers) => ({
  cohort: join(folder, start.cohort),
  visits: start.visits === "same" ? "same" : join(folder, start.visits),
});

/** Answers as a person at the terminal gives them: an empty line agrees. */
const terminal = ({ answers }: PersonsAnswers): Desk => ({
  answerer: ({ id, proposal, form }) => {
    const answer = answers[id] ?? (proposal === undefined ? undefined : "");
    // these few patients lack some of the values that the answers name
    const named = form?.kind !== "codes"
      ? answer
      : answer?.split("; ").filter((pair) =>
        form.values.some(({ value }) => pair.startsWith(`${value}=`))
      ).join("; ");
    return Promise.resolve(named);
  },
  say() {},
});

/** Clicks through a page until it has ended. */
async function clickThrough(
  address: string,
  answers: Record<string, string>,
  looked: (html: string) => void = () => {},
): Promise<string> {
  const origin = new URL(address).origin;
  for (let turn = 0; turn < 200; turn++) {
    const html = await (await fetch(address)).text();
    looked(html);
    const page = pageOf(html);
    const id = page.querySelector("input[name=question]")?.getAttribute("value");
    if (!id) return html;
    const body = clicksFor(page, answers[id]);
    const response = await fetch(address, {
      method: "POST",
      headers: { origin },
      body,
      redirect: "manual",
    });
    await response.body?.cancel();
    equal(response.status, 303);
  }
  throw new Error("the conversation does not end");
}

for (
  const [what, registry, persons] of [
    ["a CSV export", germanRegistry(120), german],
    ["a workbook", workbookRegistry(90), ofWorkbook],
  ] as const
) {
  Deno.test(`of ${what}, page and terminal write the same study file byte for byte`, async () => {
    await withFiles(registry, async (folder) => {
      const [one, other] = [join(folder, "terminal"), join(folder, "page")];
      const paths = pathsOf(folder, persons);
      await beginStudy({ ...paths, out: one }, terminal(persons));
      const page = openPage();
      const pages: string[] = [];
      const [last, begun] = await Promise.all([
        clickThrough(page.address, persons.answers, (html) => pages.push(html)),
        beginStudy({ ...paths, out: other }, page.desk).then(async (begun) => {
          await page.end(begun.lines);
          return begun;
        }),
      ]);
      await page.close();
      ok(begun.code <= 1);
      match(last, /This conversation has ended/);
      match(last, /deno task validate --study/);
      const [a, b] = await Promise.all(
        [one, other].map((out) => Deno.readTextFile(join(out, "study.json"))),
      );
      equal(a, b);
      // every heading was shown with values, meaning, confidence and reason
      const all = pageOf(pages.find((html) => /headings-patients/.test(html))!);
      const shown = [...all.querySelectorAll(".headings li b")].map((name) => name.textContent);
      const { mapping } = JSON.parse(a!);
      for (const heading of Object.keys(mapping.patients)) {
        ok(mapping.patients[heading] === "id" || shown.includes(heading), heading);
      }
      // a name is nobody's business, on a page or elsewhere
      for (const html of pages) ok(!/Beispiel-\d/.test(html));
      // nothing is fetched, nothing runs
      for (const html of pages) ok(!/<script|<img|<link|https?:\/\//.test(html));
    });
  });
}

Deno.test("a page can be stopped, and is gone on with at the terminal", async () => {
  await withFiles(germanRegistry(60), async (folder) => {
    const out = join(folder, "study");
    const paths = pathsOf(folder, german);
    const page = openPage();
    const begun = beginStudy({ ...paths, out }, page.desk);
    const origin = new URL(page.address).origin;
    for (const button of ["take", "this", "back", "this", "stop"]) {
      const html = await (await fetch(page.address)).text();
      const document = pageOf(html);
      const pressed = document.querySelector(`button[value="${button}"]`) ? button : "this";
      const body = press(document, { button: pressed });
      const sent = { method: "POST", headers: { origin }, body, redirect: "manual" } as const;
      await (await fetch(page.address, sent)).body?.cancel();
    }
    const { code, lines } = await begun;
    equal(code, 2);
    match(lines.join(" "), /Stopped\. 2 answers are kept/);
    const ended = page.end(lines);
    match(await (await fetch(page.address)).text(), /Stopped\. 2 answers are kept/);
    await ended;
    await page.close();
    const asked: string[] = [];
    const desk = terminal(german);
    await beginStudy({ ...paths, out }, {
      ...desk,
      answerer: (question) => {
        asked.push(question.id);
        return desk.answerer(question);
      },
    });
    ok(!asked.includes("patients.id"), asked.join(", "));
    ok(asked.includes("study.confirm"));
  });
});

/** A request as no browser of this machine would send it, header by header. */
async function rawStatus(port: number, path: string, headers: string[], method = "GET") {
  const connection = await Deno.connect({ hostname: "127.0.0.1", port });
  try {
    const text = [`${method} ${path} HTTP/1.1`, ...headers, "connection: close", "", ""];
    await connection.write(new TextEncoder().encode(text.join("\r\n")));
    const bytes = new Uint8Array(4096);
    const n = await connection.read(bytes) ?? 0;
    return Number(/^HTTP\/1\.1 (\d+)/.exec(new TextDecoder().decode(bytes.subarray(0, n)))?.[1]);
  } finally {
    connection.close();
  }
}

Deno.test("a page answers nobody without its address, under another host's name or from another site", async () => {
  const page = openPage({ lastLook: 1 });
  const { port, pathname, origin, hostname } = new URL(page.address);
  const at = Number(port);
  const host = `host: 127.0.0.1:${port}`;
  equal(hostname, "127.0.0.1");
  ok(pathname.length >= 64);
  await page.end(["over"]);
  equal(await rawStatus(at, pathname, [host]), 200);
  equal(await rawStatus(at, "/", [host]), 404);
  equal(await rawStatus(at, `${pathname.slice(0, -2)}/`, [host]), 404);
  equal(await rawStatus(at, `${pathname}more`, [host]), 404);
  // a name that somebody made to point here
  equal(await rawStatus(at, pathname, [`host: rebound.example:${port}`]), 421);
  equal(await rawStatus(at, pathname, [`host: localhost:${port}`]), 421);
  equal(await rawStatus(at, pathname, [host, "origin: http://rebound.example"]), 403);
  equal(await rawStatus(at, pathname, [host, "sec-fetch-site: cross-site"]), 403);
  equal(await rawStatus(at, pathname, [host, "content-length: 0"], "POST"), 403);
  equal(await rawStatus(at, pathname, [host, "origin: null", "content-length: 0"], "POST"), 403);
  equal(await rawStatus(at, pathname, [host, `origin: ${origin}`], "PUT"), 405);
  const { headers, body } = await fetch(page.address);
  await body?.cancel();
  deepEqual(
    ["cache-control", "referrer-policy", "x-content-type-options"].map((name) => headers.get(name)),
    ["no-store", "same-origin", "nosniff"],
  );
  match(headers.get("content-security-policy") ?? "", /default-src 'none'.*frame-ancestors 'none'/);
  await page.close();
});
