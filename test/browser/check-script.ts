import type { Browser, Page } from "playwright-core";
import type { Checked } from "./check-colours.ts";
import { openReport } from "./open-report.ts";

/** What the page's script adds must say what the page says without it. */
export async function checkScript(browser: Browser, url: string): Promise<Checked[]> {
  const { context, page, requests, complaints } = await openReport(browser, url, { width: 1280 });
  const checked: Checked[] = [
    ["pointing at a curve reads what its table says", await readCurve(page)],
    ["each design's curve reads what its table says", await switchDesign(page)],
    ["the arrow keys read a curve too", await readByKeys(page)],
    ["a heading sorts its table, and gives its order back", await sortTable(page)],
    ["a table can be copied", await copyTable(page)],
    ["the contents mark where the reader is", await followContents(page)],
    ["using it asks nothing of anybody", [...requests, ...complaints]],
    ["a link to code opens it in the supplement", await openCode(page)],
  ];
  await context.close();
  const phone = await openReport(browser, url, { width: 390, touch: true });
  checked.push(["on a phone a touch reads a curve", await readByTouch(phone.page)]);
  await phone.context.close();
  return checked;
}

/** The rows of the table that the shown caption leads to, on this page or in the supplement. */
async function tableBehind(page: Page): Promise<string[][]> {
  const href = await page.locator('#survival .figure figcaption a[href*="#table-"]').first()
    .getAttribute("href") ?? "";
  const [file, anchor] = href.split("#");
  const holder = file ? await page.context().newPage() : page;
  if (file) await holder.goto(new URL(file, page.url()).href);
  const rows = await holder.locator(`#${anchor} table tbody tr`).evaluateAll((lines) =>
    lines.map((row) => [...row.querySelectorAll("th, td")].map((cell) => cell.textContent ?? ""))
  );
  if (file) await holder.close();
  return rows;
}

/**
 * Points at the headline figure at each time of its table and compares, to a tenth of a percent.
 */
async function readCurve(page: Page): Promise<string[]> {
  const rows = await tableBehind(page);
  const found: string[] = [];
  let compared = 0;
  for (const [years = "", group = "", ...values] of rows) {
    if (group === "Difference") continue;
    const at = await page.evaluate((time) => {
      const panel = document.querySelector<SVGGElement>(
        "#survival .drawing:not([hidden]) svg [data-frame]",
      );
      const matrix = panel?.getScreenCTM();
      if (!panel || !matrix) return undefined;
      const [left = 0, top = 0, right = 0, bottom = 0] = (panel.dataset.frame ?? "").split(" ")
        .map(Number);
      const [from = 0, to = 1] = (panel.dataset.spans ?? "").split(" ").map(Number);
      const x = left + (right - left) * (time - from) / (to - from);
      const place = new DOMPoint(Math.min(x, right - 0.01), (top + bottom) / 2)
        .matrixTransform(matrix);
      return { x: place.x, y: place.y + scrollY };
    }, Number(years));
    if (!at) return ["the headline figure has no panel"];
    await page.evaluate((y) => scrollTo(0, y - 300), at.y);
    const top = await page.evaluate(() => scrollY);
    await page.mouse.move(at.x, at.y - top);
    const text = await page.locator("#survival .drawing:not([hidden]) .readout").innerText();
    const line = text.split("\n").find((candidate) => candidate.startsWith(group));
    const read = /: ([\d.]+)%? \(([\d.]+) to ([\d.]+)\)/.exec(line ?? "")?.slice(1).map(Number);
    const told = values.slice(0, 3).map(Number);
    compared++;
    if (!read || told.some((value, k) => !(Math.abs(value - (read[k] ?? NaN)) <= 0.11))) {
      found.push(`${years} years, ${group}: the table has ${told.join(", ")}, read "${line}"`);
    }
  }
  return compared === 0 ? ["the headline table has no rows"] : found;
}

/** Shows the headline figure under each design, reads each, and prints the page. */
async function switchDesign(page: Page): Promise<string[]> {
  const buttons = page.locator("#survival .designs button");
  const captions = new Set<string>();
  const found: string[] = [];
  const caption = () => page.locator("#survival .figure figcaption").innerText();
  const before = await caption();
  for (let k = 0; k < await buttons.count(); k++) {
    await buttons.nth(k).focus();
    await page.keyboard.press("Enter");
    const name = await buttons.nth(k).getAttribute("aria-label");
    if (await buttons.nth(k).getAttribute("aria-pressed") !== "true") {
      found.push(`${name}: not set`);
    }
    if (await page.locator("#survival .drawing:visible").count() !== 1) {
      found.push(`${name}: not one`);
    }
    captions.add(await caption());
    found.push(...(await readCurve(page)).map((line) => `${name}: ${line}`));
  }
  if (captions.size < 2) found.push(`${captions.size} designs are shown`);
  await buttons.first().click();
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  if (await caption() !== before) found.push("the page is not printed as it was written");
  const twice = await page.evaluate(() => {
    const ids = [...document.querySelectorAll("[id]")].map(({ id }) => id);
    return ids.filter((id, i) => ids.indexOf(id) !== i);
  });
  return [...found, ...twice.map((id) => `two elements are called ${id}`)];
}

async function readByKeys(page: Page): Promise<string[]> {
  await page.mouse.move(0, 0);
  await page.locator("#survival .drawing:not([hidden])").focus();
  // a region that appears with its words may not be read aloud; one that was there is
  const region = page.locator("#survival .drawing:not([hidden]) .readout");
  const silent = await region.ariaSnapshot();
  await page.keyboard.press("ArrowLeft");
  const spoken = await region.ariaSnapshot();
  const first = await page.locator("#survival .drawing:not([hidden]) .readout").innerText();
  await page.keyboard.press("ArrowLeft");
  const second = await page.locator("#survival .drawing:not([hidden]) .readout").innerText();
  await page.keyboard.press("Escape");
  const left = await page.locator("#survival .drawing:not([hidden]) .readout").isVisible();
  return [
    ...(/: \d/.test(first) && first !== second ? [] : [`read "${first}", then "${second}"`]),
    ...(silent.trim() === "- status" ? [] : [`before it is used: "${silent}"`]),
    ...(/^- status:.*\d/s.test(spoken) ? [] : [`to be read aloud: "${spoken}"`]),
    ...(left ? ["Escape leaves the reading open"] : []),
  ];
}

/** Touches the middle of the headline figure: the reading must outlast the finger. */
async function readByTouch(page: Page): Promise<string[]> {
  const panel = page.locator("#survival .drawing:not([hidden]) svg [data-frame]").first();
  await page.locator("#survival .drawing:not([hidden])").scrollIntoViewIfNeeded();
  const at = await panel.evaluate((element) => {
    const group = element as SVGGElement;
    const [left = 0, top = 0, right = 0, bottom = 0] = (group.dataset.frame ?? "").split(" ")
      .map(Number);
    const { x, y } = new DOMPoint((left + right) / 2, (top + bottom) / 2)
      .matrixTransform(group.getScreenCTM() ?? undefined);
    return { x, y };
  });
  await page.touchscreen.tap(at.x, at.y);
  const readout = page.locator("#survival .drawing:not([hidden]) .readout");
  if (!await readout.isVisible()) return ["nothing is read"];
  const text = await readout.innerText();
  return /: \d/.test(text) ? [] : [`read "${text}"`];
}

async function sortTable(page: Page): Promise<string[]> {
  const button = page.locator(".sort").nth(1);
  if (await button.count() === 0) return ["no table can be sorted"];
  const column = () =>
    button.evaluate((element) => {
      const index = (element.closest("th") as HTMLTableCellElement).cellIndex;
      return [...element.closest("table")?.tBodies[0]?.rows ?? []]
        .map((row) => row.cells[index]?.textContent ?? "");
    });
  const numbers = (texts: string[]) =>
    texts.map((text) => Number(text.replaceAll("−", "-").replaceAll(",", "")))
      .filter(Number.isFinite);
  const before = await column();
  await button.focus();
  await page.keyboard.press("Enter");
  const sorted = numbers(await column());
  await page.keyboard.press("Space");
  await button.click();
  const after = await column();
  return [
    ...(sorted.every((value, i) => i === 0 || value >= (sorted[i - 1] ?? 0)) ? [] : ["not sorted"]),
    ...(sorted.length === numbers(before).length ? [] : ["rows were lost"]),
    ...(after.join("|") === before.join("|") ? [] : ["the order did not come back"]),
  ];
}

/** Copies the headline's table and reads the clipboard: every cell, in lines of tabs. */
async function copyTable(page: Page): Promise<string[]> {
  const buttons = page.locator("button.copy");
  const tables = await page.locator("figure.table[id]").count();
  const count = await buttons.count();
  const target = await page.locator('#survival .figure figcaption a[href^="#table-"]').first()
    .getAttribute("href");
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
  const button = page.locator(`${target} button.copy`);
  await button.click();
  const done = await button.getAttribute("data-done");
  const copied = await page.evaluate(() => navigator.clipboard.readText());
  const cells = await page.locator(`${target} tr`).evaluateAll((rows) =>
    rows.map((row) => [...row.children].map((cell) => cell.textContent?.trim() ?? "").join("\t"))
  );
  return [
    ...(count === tables ? [] : [`${count} buttons for ${tables} tables`]),
    ...(done === "copied" ? [] : [`the button says ${done}`]),
    ...(copied.trim() === cells.join("\n") ? [] : [`copied "${copied.slice(0, 200)}"`]),
  ];
}

async function followContents(page: Page): Promise<string[]> {
  const found: string[] = [];
  for (const anchor of ["ventricle", "methods", "cite"]) {
    await page.evaluate((id) => document.getElementById(id)?.scrollIntoView(), anchor);
    await page.waitForTimeout(60);
    const marked = await page.locator("nav.contents a[aria-current]").evaluateAll((links) =>
      links.map((link) => link.getAttribute("href"))
    );
    // a heading right below may already be the one read
    const near = marked.length === 1 && await page.evaluate(([id, href]) => {
      const [one, other] = [`#${id}`, href ?? ""].map((selector) =>
        document.querySelector(selector)?.getBoundingClientRect().top ?? NaN
      );
      return Math.abs((one ?? NaN) - (other ?? NaN)) < innerHeight / 3;
    }, [anchor, marked[0]]);
    if (!near) found.push(`at ${anchor} the contents mark ${marked.join(", ") || "nothing"}`);
  }
  return found;
}

/** The way from a figure to its code: to the supplement, where the link opens the cell. */
async function openCode(page: Page): Promise<string[]> {
  const link = page.locator('.source a[href*="#code-"]').first();
  const href = await link.getAttribute("href");
  await link.click();
  // the page it is on is long: it opens once its script has run
  const open = page.locator(`details#${href?.split("#")[1]}[open]`);
  const opened = await open.waitFor({ state: "attached", timeout: 20_000 })
    .then(() => true, () => false);
  return opened ? [] : [`${href} stays closed`];
}
