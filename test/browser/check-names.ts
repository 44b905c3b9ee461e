import type { Browser } from "playwright-core";
import { everyExample } from "../figures/examples/examples.ts";
import { longNames } from "../figures/examples/long-names.ts";

/**
 * Draws every figure under names of 80 characters in several languages, right-to-left among them,
 * and finds letters that a browser sets outside the drawing.
 */
export async function checkNames(browser: Browser): Promise<[what: string, found: string[]][]> {
  const context = await browser.newContext({ viewport: { width: 600, height: 900 } });
  const page = await context.newPage();
  const results: [string, string[]][] = [];
  for (const [language, name] of Object.entries(longNames)) {
    const drawings = everyExample()
      .map((example) => example.relabelled((index) => `${name} ${index}`).svg);
    await page.setContent(`<!doctype html><body>${drawings.join("")}</body>`);
    const found = await page.evaluate(() =>
      [...document.querySelectorAll("svg text")].flatMap((text) => {
        const box = text.getBoundingClientRect();
        const frame = text.closest("svg")!.getBoundingClientRect();
        const inside = box.left >= frame.left - 1 && box.right <= frame.right + 1 &&
          box.top >= frame.top - 1 && box.bottom <= frame.bottom + 1;
        return inside || box.width === 0 ? [] : [
          `${text.closest("svg")!.id}: "${text.textContent}" ${Math.round(box.left)} to ` +
          `${Math.round(box.right)} of ${Math.round(frame.width)}`,
        ];
      })
    );
    results.push([`no figure cuts off a long name: ${language}`, found]);
  }
  await context.close();
  return results;
}
