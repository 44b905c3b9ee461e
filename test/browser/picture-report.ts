// Pictures of a report to look at: `deno task picture [FILE] [FOLDER]`. Phone, laptop and A4 print,
// the first screen and the whole page, light and dark.
import { join } from "node:path";
import type { Page } from "playwright-core";
import { openReport, startBrowser } from "./open-report.ts";
import { resolve, toFileUrl } from "./paths.ts";

const pieceHeight = 3000;
const url = toFileUrl(resolve(Deno.args[0] ?? "out/demo/report.html"));
const folder = resolve(Deno.args[1] ?? "out/pictures");
await Deno.mkdir(folder, { recursive: true });
const browser = await startBrowser();
for (const width of [390, 1280]) {
  for (const colorScheme of ["light", "dark"] as const) {
    const { context, page } = await openReport(browser, url, { width, colorScheme });
    const name = `${width}-${colorScheme}`;
    await page.screenshot({ path: join(folder, `${name}-first.png`) });
    if (colorScheme === "light") await takeInPieces(page, join(folder, name));
    await context.close();
  }
}
const { context, page } = await openReport(browser, url, { width: 794 });
await page.pdf({ path: join(folder, "a4.pdf"), format: "A4", preferCSSPageSize: true });
await context.close();
await browser.close();
console.log(`Pictures in ${folder}`);

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
