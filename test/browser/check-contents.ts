import type { Browser, Page } from "playwright-core";
import type { Checked } from "./check-colours.ts";
import { openReport } from "./open-report.ts";

/** Phones, upright and on their side, on which the way to the contents stays in view. */
const phones = [{ width: 320, height: 568 }, { width: 390, height: 844 }, {
  width: 844,
  height: 390,
}];

/**
 * The list of contents numbers its sections legibly, and what stays put on a narrow page while the
 * rest of it scrolls covers nothing: neither words, nor what has the focus, nor the page's end.
 */
export async function checkContents(browser: Browser, url: string): Promise<Checked[]> {
  const checked: Checked[] = [];
  for (const size of phones) {
    const { context, page } = await openReport(browser, url, size);
    const on = `${size.width} x ${size.height} px:`;
    checked.push(
      [`${on} the bar with the way to the contents covers nothing`, await coveredBy(page)],
      [`${on} nothing that has the focus is beneath it`, await focusBeneath(page)],
      [`${on} the end of the page can be reached`, await hiddenEnd(page)],
    );
    await context.close();
  }
  for (const width of [390, 800, 1280]) {
    const { context, page } = await openReport(browser, url, { width });
    checked.push([`${width} px: the contents' numbers are whole`, await clippedNumbers(page)]);
    await context.close();
  }
  return checked;
}

/**
 * At twenty places down the page: whatever stays put must be an opaque bar at the lower edge, as
 * wide as the page and tall enough for a finger (44 px).
 */
function coveredBy(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found = new Set<string>();
    const paper = document.querySelector(".paper");
    if (!paper) return ["the page has no sections"];
    const staying = [...document.querySelectorAll<HTMLElement>("body *")].filter((element) =>
      ["fixed", "sticky"].includes(getComputedStyle(element).position) &&
      element.textContent !== ""
    );
    const { top, height } = paper.getBoundingClientRect();
    const start = top + scrollY;
    let seen = 0;
    for (let step = 1; step < 20; step++) {
      scrollTo(0, start + (height - innerHeight) * step / 20);
      for (const element of staying) {
        const box = element.getBoundingClientRect();
        if (box.height === 0 || box.bottom <= 0 || box.top >= innerHeight) continue;
        seen++;
        const name = `${element.tagName}.${element.className}`;
        const across = document.documentElement.clientWidth;
        if (box.left > 0.5 || box.right < across - 0.5) {
          found.add(`${name}: from ${box.left} to ${box.right} of ${across} px`);
        }
        if (Math.abs(box.bottom - innerHeight) > 0.5) found.add(`${name}: not at the edge`);
        if (box.height < 44) found.add(`${name}: ${box.height} px tall`);
        const paint = getComputedStyle(element);
        if (/^rgba|transparent/.test(paint.backgroundColor) || paint.opacity !== "1") {
          found.add(`${name}: what is beneath shows through`);
        }
        if (Number.parseFloat(paint.borderTopLeftRadius) > 0) found.add(`${name}: round corners`);
      }
    }
    return seen === 0 ? ["no way to the contents stays in view"] : [...found];
  });
}

/** Everything that the keyboard reaches in the sections, from the top down and back up. */
function focusBeneath(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const bar = document.querySelector(".to-contents");
    if (!bar) return ["there is no way to the contents"];
    const every = [...document.querySelectorAll<HTMLElement>(
      ".paper a[href], .paper summary, .paper button, .paper [tabindex='0']",
    )].filter((element) => element !== bar && element.checkVisibility());
    const found = new Set<string>();
    for (const element of [...every, ...every.toReversed()]) {
      element.focus();
      // all lines of a link together
      const box = element.getBoundingClientRect();
      if (box.height === 0) continue;
      const room = bar.getBoundingClientRect().top;
      // what is taller than the window less its margins is seen from its top
      const isSeen = box.height > room - 40 ? box.top < room - 20 : box.bottom <= room + 0.5;
      if (!isSeen) found.add(`${element.outerHTML.slice(0, 90)}: ${box.bottom} below ${room}`);
    }
    return every.length === 0 ? ["nothing can be reached"] : [...found];
  });
}

function hiddenEnd(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    scrollTo(0, document.documentElement.scrollHeight);
    const bar = document.querySelector(".to-contents")?.getBoundingClientRect();
    const last = document.querySelector(".sections")?.getBoundingClientRect();
    const end = document.querySelector("footer")?.getBoundingClientRect();
    if (!bar || !last || !end) return ["the page has no sections, bar or end"];
    const found = end.bottom > innerHeight + 0.5 ? ["the page's end is below the window"] : [];
    if (bar.top < last.bottom - 0.5) found.push("the last section ends beneath the bar");
    if (bar.bottom > end.top + 0.5) found.push("the bar covers the footer");
    return found;
  });
}

/** Numbers of the list that begin before the box that holds it, where it cuts them off. */
function clippedNumbers(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const nav = document.querySelector<HTMLElement>("nav.contents");
    const items = [...nav?.querySelectorAll(":scope > ol > li") ?? []];
    if (!nav || items.length === 0) return ["there are no contents"];
    const ruler = document.createElement("span");
    ruler.style.cssText = "position:absolute;white-space:pre";
    nav.append(ruler);
    // two figures, however few sections this page has
    const found = items.flatMap((item, index) => {
      ruler.textContent = `${Math.max(10, index + 1)}. `;
      const room = item.getBoundingClientRect().left - nav.getBoundingClientRect().left;
      const wide = ruler.getBoundingClientRect().width;
      const column = item.getBoundingClientRect().left > nav.getBoundingClientRect().left + 100;
      return column || room >= wide ? [] : [`${index + 1}.: ${wide} px in ${room} px`];
    });
    ruler.remove();
    return found;
  });
}
