// Opens the documents of a report in a real browser and holds them to what their readers need. Run
// by `deno task check-report [FOLDER]`, after `deno task report`; prints what it found and exits 1
// where anything failed.
import axe from "axe-core";
import { join, resolve, toFileUrl } from "./paths.ts";
import { checkColours } from "./check-colours.ts";
import { checkContents } from "./check-contents.ts";
import { checkNames } from "./check-names.ts";
import { checkScript } from "./check-script.ts";
import { openReport, startBrowser } from "./open-report.ts";
import { walkQuestions } from "./ten-questions.ts";

const folder = resolve(Deno.args[0] ?? "out/demo");
/** A narrow phone, a phone in both orientations, a laptop. */
const widths = [320, 390, 844, 1280];
// What is left of A4 inside the page margins of the print style, in CSS pixels (96 to the inch).
const a4 = { width: Math.floor(176 / 25.4 * 96), height: Math.floor(259 / 25.4 * 96) };
/** How large each document may be, and how many printed pages it may take. */
const documents = [
  { name: "report.html", bytes: 1e6, pages: 12 },
  { name: "supplement.html", bytes: 4e6, pages: undefined },
  { name: "brief.html", bytes: 2e5, pages: 1 },
] as const;
let passed = 0;
const failures: string[] = [];

function check(what: string, found: readonly string[]): void {
  if (found.length === 0) {
    passed++;
    console.log(`ok      ${what}`);
    return;
  }
  failures.push(what);
  console.log(`FAILED  ${what}`);
  for (const line of found.slice(0, 10)) console.log(`        ${line}`);
}

const browser = await startBrowser();
try {
  for (const document of documents) await checkDocument(document);
  console.log("\nfigures");
  for (const [what, found] of await checkNames(browser)) check(what, found);
} finally {
  await browser.close();
}

console.log(`\n${passed} passed, ${failures.length} failed`);
Deno.exit(failures.length === 0 ? 0 : 1);

async function checkDocument({ name, bytes, pages }: typeof documents[number]): Promise<void> {
  const file = join(folder, name);
  const url = toFileUrl(file);
  console.log(`\n${name}`);
  const size = (await Deno.stat(file)).size;
  check(`it is smaller than ${bytes / 1e6} MB`, size < bytes ? [] : [`${size} bytes`]);

  for (const width of widths) {
    const { context, page, requests, complaints } = await openReport(browser, url, { width });
    check(`${width} px: nothing is requested from anywhere`, requests);
    check(`${width} px: no error or warning in the console`, complaints);
    const wide = await page.evaluate(() => {
      const room = document.documentElement.clientWidth;
      if (document.documentElement.scrollWidth <= room) return [];
      return [...document.querySelectorAll("body *")]
        .filter((element) => element.getBoundingClientRect().right > room + 1)
        .slice(0, 5)
        .map((element) => `${element.tagName} ${element.id} ${element.className}`);
    });
    check(`${width} px: no sideways scrolling`, wide);
    await context.close();
  }

  for (const colorScheme of ["light", "dark"] as const) {
    const { context, page } = await openReport(browser, url, { width: 1280, colorScheme });
    await page.evaluate(axe.source);
    const violations = await page.evaluate(async () => {
      const scope = globalThis as unknown as { axe: typeof import("axe-core") };
      const result = await scope.axe.run(document, {
        runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
      });
      return result.violations.map(({ id, nodes }) =>
        `${id} (${nodes.length}): ${nodes[0]?.html.slice(0, 120)}`
      );
    });
    check(`WCAG 2.2 AA, ${colorScheme} scheme: axe finds nothing`, violations);
    await context.close();
  }

  if (name !== "brief.html") {
    for (const [what, found] of await checkColours(browser, url)) check(what, found);
    for (const [what, found] of await checkContents(browser, url)) check(what, found);
  }
  if (name === "report.html") {
    for (const [what, found] of await checkScript(browser, url)) check(what, found);
    for (const [what, found] of await walkQuestions(browser, url)) check(what, found);
  }

  {
    const { context, page } = await openReport(browser, url, { width: 390 });
    const lost = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLAnchorElement>('a[href^="#"]')]
        .filter((link) => !document.getElementById(decodeURIComponent(link.hash.slice(1))))
        .map((link) => link.outerHTML)
    );
    check("every link within the page leads somewhere", lost);
    const untraced = await page.evaluate(() => {
      const found: string[] = [];
      for (const figure of document.querySelectorAll(".sections figure[id]")) {
        if (!figure.querySelector(".badge")) found.push(`${figure.id}: neither planned nor not`);
        if (!figure.querySelector('a[href*="#code-"]')) found.push(`${figure.id}: no cell`);
      }
      for (const head of document.querySelectorAll("section.notebook .head h2")) {
        if (!head.querySelector(".found")) found.push(`"${head.textContent}" says no finding`);
      }
      const answer = document.querySelector(".answer");
      const numbers = document.querySelectorAll(".answer a.number").length;
      if (answer && numbers < 4) found.push(`${numbers} numbers of the answer lead to a table`);
      return found;
    });
    check("every figure and table has its status and cell, every section its finding", untraced);
    const astray = await page.evaluate(() => {
      const centre = (element: Element) => {
        const box = element.getBoundingClientRect();
        return (box.left + box.right) / 2;
      };
      const found: string[] = [];
      for (const svg of document.querySelectorAll("svg")) {
        const ticks = [...svg.querySelectorAll('[data-part="x-axis"] text')].map(centre);
        for (const row of svg.querySelectorAll('[data-part="risk-count"]')) {
          for (const count of row.querySelectorAll("text")) {
            const off = Math.min(...ticks.map((tick) => Math.abs(tick - centre(count))));
            if (!(off <= 1)) found.push(`${svg.id}: ${count.textContent} is ${off} px off`);
          }
        }
      }
      return found;
    });
    check("numbers at risk stand under their ticks within 1 px", astray);

    const outline = await page.evaluate(() => {
      const levels = [...document.querySelectorAll("h1, h2, h3, h4, h5, h6")]
        .map((heading) => Number(heading.tagName[1]));
      const found = levels.filter((level) => level === 1).length === 1 ? [] : ["not one h1"];
      levels.forEach((level, i) => {
        const before = levels[i - 1] ?? 0;
        if (level > before + 1) found.push(`h${level} after h${before}`);
      });
      return found;
    });
    check("headings form an outline", outline);

    const letters = await page.evaluate(() => {
      const small: string[] = [];
      for (const text of document.querySelectorAll("svg text")) {
        const box = text.getBoundingClientRect();
        const svg = text.closest("svg");
        if (!svg || box.height === 0) continue;
        const scale = svg.getBoundingClientRect().width / (svg.viewBox.baseVal.width || 1);
        const size = Number.parseFloat(getComputedStyle(text).fontSize) * scale;
        if (size < 10.5) small.push(`${svg.id}: "${text.textContent}" at ${size.toFixed(1)} px`);
      }
      return small;
    });
    check("letters in figures are 10.5 px or more on a phone", letters);

    const outside = await page.evaluate(() => {
      const found: string[] = [];
      for (const text of document.querySelectorAll("svg text")) {
        const box = text.getBoundingClientRect();
        const frame = text.closest("svg")?.getBoundingClientRect();
        if (!frame || box.width === 0) continue;
        if (
          box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 ||
          box.bottom > frame.bottom + 1
        ) found.push(`${text.closest("svg")?.id}: "${text.textContent}"`);
      }
      return found;
    });
    check("no words of a figure are cut off", outside);
    await context.close();
  }

  {
    const withScripts = await openReport(browser, url, { width: 1280 });
    const without = await openReport(browser, url, { width: 1280, scripts: false });
    const words = async ({ page }: typeof without) => (await page.locator("body").innerText());
    const same = await words(withScripts) === await words(without);
    check("the content is the same without scripts", same ? [] : ["the texts differ"]);
    await withScripts.context.close();
    await without.context.close();
  }

  {
    const { context, page } = await openReport(browser, url, { width: 1280 });
    const expected = await page.evaluate(() => {
      const every = [...document.querySelectorAll("a[href], summary, button, [tabindex='0']")]
        .filter((element) => element.checkVisibility());
      every.forEach((element, i) => element.setAttribute("data-checked", String(i)));
      document.addEventListener("focusin", ({ target }) => {
        if (target instanceof Element) target.setAttribute("data-reached", "");
      });
      return every.length;
    });
    // the keys of a batch are sent together: each alone would wait for the browser's answer
    const session = await context.newCDPSession(page);
    const key = { key: "Tab", code: "Tab", windowsVirtualKeyCode: 9 };
    for (let sent = 0; sent < 2 * expected + 20; sent += 50) {
      await Promise.all(
        Array.from({ length: 50 }, () => [
          session.send("Input.dispatchKeyEvent", { type: "rawKeyDown", ...key }),
          session.send("Input.dispatchKeyEvent", { type: "keyUp", ...key }),
        ]).flat(),
      );
      const all = "[data-checked]:not([data-reached])";
      if (await page.locator(all).count() === 0) break;
    }
    const left = await page.evaluate(() =>
      [...document.querySelectorAll("[data-checked]:not([data-reached])")]
        .map((element) => element.outerHTML.slice(0, 140))
    );
    check(`the keyboard alone reaches everything (${expected})`, left);
    await context.close();
  }

  {
    const { context, page } = await openReport(browser, url, { width: a4.width });
    await page.emulateMedia({ media: "print" });
    await page.setViewportSize(a4);
    const torn = await page.evaluate((height) => {
      return [...document.querySelectorAll("figure")].flatMap((figure) => {
        const style = getComputedStyle(figure);
        const tall = figure.getBoundingClientRect().height;
        const kept = style.breakInside.startsWith("avoid");
        const name = figure.id || figure.textContent?.trim().slice(0, 40);
        if (figure.querySelector("table")) return [];
        if (!kept) return [`${name}: may be split`];
        return tall > height ? [`${name}: ${Math.round(tall)} px, taller than a page`] : [];
      });
    }, a4.height);
    check("in print no figure is split from its caption or taller than a page", torn);
    const clipped = await page.evaluate(() =>
      [...document.querySelectorAll("table")].flatMap((table) => {
        // a page lying on its side is 87 mm wider
        const page = getComputedStyle(table.closest("figure") ?? table).getPropertyValue("page");
        const wider = page === "sideways" ? (87 / 25.4) * 96 : 0;
        const room = document.documentElement.clientWidth + wider;
        const box = table.getBoundingClientRect();
        return box.right > room + 1
          ? [`${table.closest("figure")?.id}: ${Math.round(box.right - room)} px over`]
          : [];
      })
    );
    check("in print no table runs off the page", clipped);
    const cut = await page.evaluate(() =>
      [...document.querySelectorAll(".drawing:not([hidden]) svg")].flatMap((svg) => {
        const box = svg.getBoundingClientRect();
        const over = Math.round(box.right - document.documentElement.clientWidth);
        return over > 1
          ? [`${svg.id}: ${over} px over`]
          : box.width < 200
          ? [`${svg.id}: tiny`]
          : [];
      })
    );
    check("in print no drawing runs off the page", cut);
    const broken = await page.evaluate(() =>
      [...document.querySelectorAll("tbody td[style]")].flatMap((cell) => {
        const text = cell.textContent?.trim() ?? "";
        const range = document.createRange();
        range.selectNodeContents(cell);
        const lines = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
        return lines.size > 1 && !text.includes(" ")
          ? [`${cell.closest("figure")?.id}: ${text}`]
          : [];
      })
    );
    check("in print no number is broken across lines", broken);
    // a button in its heading keeps a browser from printing the heading again on the next page
    const boxed = await page.evaluate(() =>
      [...document.querySelectorAll("thead button")].filter((button) =>
        getComputedStyle(button).display !== "contents"
      ).map((button) => button.textContent ?? "")
    );
    check("in print the headings of a table may stand on each of its pages", boxed);
    const pdf = await page.pdf({ format: "A4", preferCSSPageSize: true });
    const printed = pagesOf(pdf);
    check(
      pages
        ? `it prints on at most ${pages} A4 pages (${printed})`
        : `it prints (${printed} pages)`,
      printed > 0 && printed <= (pages ?? Infinity) ? [] : [`${printed} pages`],
    );
    await context.close();
  }
}

/** The pages of a PDF, counted by their objects, which Chromium writes uncompressed. */
function pagesOf(pdf: Uint8Array): number {
  return new TextDecoder("latin1").decode(pdf).match(/\/Type\s*\/Page(?![a-zA-Z])/g)?.length ?? 0;
}
