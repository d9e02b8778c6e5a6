// Debian's chromium, headless, with the processor drawing; and what every page of ours is held to.
import { chromium } from 'playwright-core';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Answers } from '../../tools/viewer/src/answers';

export const pageFolder = process.env['KERBRAY_PAGE'] ?? 'dist';
export const workFolder = process.env['KERBRAY_CHECKS'] ?? '.checks';

const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find((p) => existsSync(p));

export async function openBrowser(...more: string[]): Promise<Browser> {
  if (!executablePath) throw new Error('chromium is not installed: tools/install_packages.sh tests');
  return chromium.launch({
    executablePath,
    args: ['--no-sandbox', '--enable-unsafe-swiftshader', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--disable-quic', '--no-first-run', ...more],
  });
}

/** The built report with a document in it, as the program writes it. */
export function reportWith(answers: Answers, name: string): string {
  const html = readFileSync(join(pageFolder, 'report.html'), 'utf8');
  const place = '<script type="application/json" id="answers">{}</script>';
  if (!html.includes(place)) throw new Error(`${pageFolder}/report.html has no place for the answers`);
  const filled = html.replace(place, () => `<script type="application/json" id="answers">${JSON.stringify(answers).replaceAll('</', '<\\/')}</script>`);
  const file = join(workFolder, `${name}.html`);
  writeFileSync(file, filled);
  return pathToFileURL(file).href;
}

export interface Opened {
  page: Page;
  complaints: string[]; // of the console and of scripts
  requests: string[];
  ready_ms: number;
}

/** Opens a page and waits for its first whole picture. Polled, as the page's policy allows no eval. */
export async function opened(browser: Browser, url: string, options: BrowserContextOptions = {}, before?: (page: Page) => Promise<void>): Promise<Opened> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options });
  const page = await context.newPage();
  const found: Opened = { page, complaints: [], requests: [], ready_ms: 0 };
  page.on('console', (message) => {
    if (!['error', 'warning'].includes(message.type())) return;
    if (message.text().includes('GL Driver Message')) return; // of the software driver, on speed
    found.complaints.push(message.text());
  });
  page.on('pageerror', (error) => found.complaints.push(String(error)));
  page.on('request', (request) => {
    if (!/^(data|blob):/.test(request.url())) found.requests.push(request.url());
  });
  await before?.(page);
  const start = Date.now();
  await page.goto(url, { timeout: 60_000 });
  await until(page, () => document.documentElement.dataset['ready'] === 'yes', 'the page to be ready', 60_000, found);
  found.ready_ms = Date.now() - start;
  return found;
}

export async function until(page: Page, test: () => boolean, what: string, most_ms = 20_000, found?: Opened): Promise<void> {
  const end = Date.now() + most_ms;
  while (!(await page.evaluate(test))) {
    if (Date.now() > end) throw new Error(`waited ${most_ms} ms for ${what}; ${found?.complaints.join('; ') ?? ''} ${await page.locator('.failure').allTextContents()}`);
    await page.waitForTimeout(25);
  }
}

export async function frames(page: Page): Promise<number> {
  return Number(await page.locator('.stage').getAttribute('data-frames'));
}
