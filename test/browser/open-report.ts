import fs from "node:fs";
import type { Browser, BrowserContext, Page } from "playwright-core";

// When it is loaded the package looks into /proc/sys, which Deno shows only to a process that may
// do everything: it is told that nothing is there, and the task gets by with less.
const { existsSync } = fs;
fs.existsSync = (path) => !String(path).startsWith("/proc/sys/") && existsSync(path);
const { chromium } = await import("playwright-core");

const chromiumPaths = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/** Starts a headless Chromium that the machine has. */
export async function startBrowser(): Promise<Browser> {
  const executablePath = chromiumPaths.find((path) => {
    try {
      return Deno.statSync(path).isFile;
    } catch {
      return false;
    }
  });
  if (!executablePath) throw new Error(`No Chromium at ${chromiumPaths.join(", ")}`);
  return await chromium.launch({
    executablePath,
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** A page with the report, and what it tried to fetch or complained of while opening. */
export interface OpenedReport {
  context: BrowserContext;
  page: Page;
  requests: string[];
  complaints: string[];
}

/** Opens the report shut off from any network, at a width in CSS pixels. */
export async function openReport(
  browser: Browser,
  url: string,
  options: {
    width: number;
    height?: number;
    scripts?: boolean;
    colorScheme?: "light" | "dark";
    touch?: boolean;
  },
): Promise<OpenedReport> {
  const { width, height = 844, scripts = true, colorScheme = "light", touch = false } = options;
  const context = await browser.newContext({
    viewport: { width, height },
    javaScriptEnabled: scripts,
    colorScheme,
    hasTouch: touch,
    isMobile: touch,
    offline: true,
  });
  const page = await context.newPage();
  const requests: string[] = [];
  const complaints: string[] = [];
  page.on("request", (request) => {
    if (request.url() !== url && !request.url().startsWith("data:")) requests.push(request.url());
  });
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(String(error)));
  await page.goto(url);
  return { context, page, requests, complaints };
}
