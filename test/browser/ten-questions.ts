import type { Browser, Page } from "playwright-core";
import type { Checked } from "./check-colours.ts";
import { openReport } from "./open-report.ts";

/** A question that a surgeon asks of a report, and where its answer must be found. */
interface Question {
  asks: string;
  /** Words that answer it. */
  answer: RegExp;
  /** The section that must have them, two taps away; without it, the first three screens. */
  section?: string;
  /** What a run must show for the question to be answerable: once it does, the answer is due. */
  where?: string;
}

/** From the readers' own list; the answers of the demonstration, numbers left open. */
const questions: Question[] = [
  {
    asks: "in which valves does repair leak",
    answer: /(tethering|degenerative|secondary)[^]*\d/i,
    section: "which-valves",
  },
  { asks: "how many more alive", answer: /about \d+ were alive[^]*(more|fewer)[^]*per 100/ },
  {
    asks: "what does replacement cost",
    answer: /(stroke|bleeding|infection|valve-related|prosthe)[^]*(\d|not in the file)/i,
    section: "table-ledger",
    where: "#table-ledger",
  },
  { asks: "how sure", answer: /confidence interval/ },
  { asks: "who is left out", answer: /endocarditis/, section: "studied" },
  {
    asks: "what was not measured",
    answer: /What the file does not hold[^]*not recorded/,
    section: "not-held",
  },
  {
    asks: "which repair",
    answer: /ring[^]*\d%[^]*(better than|not settled)/i,
    section: "technique",
    where: "#technique",
  },
  {
    asks: "does it apply to ejection fraction 35%",
    answer: /ejection fraction below \d+%[^]*\d%/i,
    section: "which-valves",
  },
  { asks: "how many such patients", answer: /ejection fraction below \d+% n = [\d,]+/i },
  {
    asks: "what would change the answer",
    answer: /to explain it away, something unmeasured would have to [^]*risk ratio of \d/,
    section: "robust",
  },
];

const phone = { width: 390, height: 844 };
const screens = 3;

/** Walks the article on a phone with each question: by reading three screens, or by two taps. */
export async function walkQuestions(browser: Browser, url: string): Promise<Checked[]> {
  const { context, page } = await openReport(browser, url, { width: phone.width, touch: true });
  const checked: Checked[] = [];
  for (const { asks, answer, section, where } of questions) {
    if (where && await page.locator(where).count() === 0) {
      console.log(`        not shown by this run: ${asks}`);
      continue;
    }
    const text = section ? await tapped(page, section) : await firstScreens(page);
    const found = typeof text === "string" && answer.test(text);
    checked.push([
      `a surgeon asks “${asks}”: answered ${section ? "in two taps" : `in ${screens} screens`}`,
      found ? [] : [typeof text === "string" ? `read "${text.slice(0, 200)}"` : "no way there"],
    ]);
  }
  await context.close();
  return checked;
}

/** What a reader has seen who scrolls through the first screens: whole words only. */
function firstScreens(page: Page): Promise<string> {
  return page.evaluate((depth) => {
    const seen: string[] = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const range = document.createRange();
      range.selectNodeContents(walker.currentNode);
      const box = range.getBoundingClientRect();
      const isSeen = box.height > 0 && box.bottom + scrollY <= depth;
      if (isSeen) seen.push(walker.currentNode.textContent ?? "");
    }
    return seen.join(" ").replace(/\s+/g, " ");
  }, screens * phone.height);
}

/** Taps the contents and then a section, and reads the section if it came into view. */
async function tapped(page: Page, section: string): Promise<string | undefined> {
  await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight / 2));
  const button = page.locator("a.to-contents");
  const link = page.locator(`nav.contents a[href="#${section}"]`);
  if (await button.count() === 0 || await link.count() === 0) return undefined;
  await button.tap();
  await link.tap();
  const target = page.locator(`#${section}`);
  const top = await target.evaluate((element) => element.getBoundingClientRect().top);
  if (!(top > -phone.height / 2 && top < phone.height)) return undefined;
  return (await target.textContent())?.replace(/\s+/g, " ");
}
