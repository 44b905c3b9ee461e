// Pictures of a report's documents to look at: `deno task picture [FOLDER] [PICTURES]`. A phone in
// both orientations, laptop and A4 print, the first screen and the whole page, light and dark.
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { openReport, startBrowser } from "./open-report.ts";
import { resolve, toFileUrl } from "./paths.ts";

const pieceHeight = 3000;
const folder = resolve(Deno.args[0] ?? "out/demo");
const pictures = resolve(Deno.args[1] ?? "out/pictures");
const browser = await startBrowser();
for (const name of ["report", "supplement", "brief"]) {
  const target = join(pictures, name);
  await Deno.mkdir(target, { recursive: true });
  await picture(browser, toFileUrl(join(folder, `${name}.html`)), target);
}
await browser.close();
console.log(`Pictures in ${pictures}`);

async function picture(browser: Browser, url: string, target: string): Promise<void> {
  for (const width of [390, 844, 1280]) {
    for (const colorScheme of ["light", "dark"] as const) {
      const { context, page } = await openReport(browser, url, { width, colorScheme });
      const name = `${width}-${colorScheme}`;
      if (width === 844) await page.setViewportSize({ width, height: 390 });
      await page.screenshot({ path: join(target, `${name}-first.png`) });
      if (colorScheme === "light") await takeInPieces(page, join(target, name));
      await context.close();
    }
  }
  const { context, page } = await openReport(browser, url, { width: 794 });
  await page.pdf({ path: join(target, "a4.pdf"), format: "A4", preferCSSPageSize: true });
  await context.close();
}

/** The whole page in pieces: one picture of it would be taller than a browser can take. */
async function takeInPieces(page: Page, stem: string): Promise<void> {
  const width = page.viewportSize()?.width ?? 1280;
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  await page.setViewportSize({ width, height: pieceHeight });
  for (let top = 0, piece = 1; top < height; top += pieceHeight, piece++) {
    await page.evaluate((y) => scrollTo(0, y), top);
    await page.screenshot({ path: `${stem}-${String(piece).padStart(2, "0")}.png` });
  }
}
