import type { Browser } from "playwright-core";
import { openReport } from "./open-report.ts";

/** What a check looked at, and what it found wrong. */
export type Checked = [what: string, found: string[]];

/**
 * Groups must be told apart by everybody: lines and areas stand out from the page by 3:1 (WCAG 2.2,
 * 1.4.11), and no two groups of a panel are told apart by hue alone. Both are computed from what
 * the browser would paint.
 */
export async function checkColours(browser: Browser, url: string): Promise<Checked[]> {
  const checked: Checked[] = [];
  for (const colorScheme of ["light", "dark"] as const) {
    const { context, page } = await openReport(browser, url, { width: 1280, colorScheme });
    const { faint, alike, seen } = await page.evaluate(() => {
      const channels = (color: string) => (color.match(/[\d.]+/g) ?? []).map(Number);
      const luminance = (color: string) => {
        const [r = 0, g = 0, b = 0] = channels(color).map((value) => {
          const share = value / 255;
          return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      const contrast = (a: string, b: string) => {
        const [low = 0, high = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
        return (high + 0.05) / (low + 0.05);
      };
      const paper = getComputedStyle(document.body).backgroundColor;
      const faint: string[] = [];
      const alike: string[] = [];
      let seen = 0;
      for (const panel of document.querySelectorAll<SVGGElement>("svg [data-frame]")) {
        const name = panel.closest("svg")?.id ?? "";
        const lines = [...panel.querySelectorAll('[data-part="curve"]')].map((line) => ({
          stroke: getComputedStyle(line).stroke,
          dash: line.getAttribute("stroke-dasharray") ?? "solid",
        }));
        for (const { stroke } of lines) {
          seen++;
          if (contrast(stroke, paper) < 3) faint.push(`${name}: ${stroke} on ${paper}`);
        }
        lines.forEach((one, i) => {
          for (const other of lines.slice(i + 1)) {
            if (one.stroke === other.stroke) continue; // one group in two stretches
            if (one.dash === other.dash && contrast(one.stroke, other.stroke) < 1.5) {
              alike.push(`${name}: ${one.stroke} and ${other.stroke} in grey, both ${one.dash}`);
            }
          }
        });
        // areas lie on each other in the order of the drawing: neighbours must differ in grey
        const states = [...panel.querySelectorAll('[data-part="state"]')];
        states.slice(1).forEach((state, i) => {
          const [one, other] = [states[i], state]
            .map((area) => getComputedStyle(area as Element).fill);
          seen++;
          if (contrast(one ?? "", other ?? "") < 1.2) {
            alike.push(`${name}: neighbouring areas ${one} and ${other}`);
          }
        });
      }
      return { faint, alike, seen };
    });
    if (seen === 0) faint.push("no curve was found");
    checked.push([`${colorScheme}: groups stand out from the page by 3:1 (${seen} seen)`, faint]);
    checked.push([`${colorScheme}: groups are told apart in greyscale`, alike]);
    await context.close();
  }
  return checked;
}
