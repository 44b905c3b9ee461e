// Pictures of a report to look at: `deno task picture [FILE] [FOLDER]`. Phone, laptop and A4 print,
// the first screen and the whole page, light and dark.
import { join } from "node:path";
import { openReport, startBrowser } from "./open-report.ts";
import { resolve, toFileUrl } from "./paths.ts";

const url = toFileUrl(resolve(Deno.args[0] ?? "out/demo/report.html"));
const folder = resolve(Deno.args[1] ?? "out/pictures");
await Deno.mkdir(folder, { recursive: true });
const browser = await startBrowser();
for (const width of [390, 1280]) {
  for (const colorScheme of ["light", "dark"] as const) {
    const { context, page } = await openReport(browser, url, { width, colorScheme });
    const name = `${width}-${colorScheme}`;
    await page.screenshot({ path: join(folder, `${name}-first.png`) });
    await page.screenshot({ path: join(folder, `${name}-whole.png`), fullPage: true });
    await context.close();
  }
}
const { context, page } = await openReport(browser, url, { width: 794 });
await page.pdf({ path: join(folder, "a4.pdf"), format: "A4", preferCSSPageSize: true });
await context.close();
await browser.close();
console.log(`Pictures in ${folder}`);
