// A report that the program itself wrote, where KERBRAY_REPORT names one: the same checks, and its numbers
// against the tables that lie beside it.
import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { after, before, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { csvParse } from 'd3-dsv';
import type { Browser, Page } from 'playwright-core';
import { axeFaults } from './axe';
import { openBrowser, opened, workFolder } from './browser';

const file = process.env['KERBRAY_REPORT'] ?? '';
const skip = file === '' ? 'KERBRAY_REPORT names no report' : false;
const url = file === '' ? '' : pathToFileURL(file).href;
const name = basename(dirname(file) || 'real');
let browser: Browser;
before(async () => {
  if (!skip) browser = await openBrowser();
});
after(async () => {
  if (!skip) await browser.close();
});

function table(of: string): Record<string, string>[] {
  const path = join(dirname(file), of);
  return existsSync(path) ? csvParse(readFileSync(path, 'utf8')) : [];
}

/** Of the points in the document, in its order. */
function pointIds(): string[] {
  const block = /<script type="application\/json" id="answers">([\s\S]*?)<\/script>/.exec(readFileSync(file, 'utf8'));
  return (JSON.parse(block![1]!) as { points: { id: string }[] }).points.map((p) => p.id);
}

/** The row of the chosen point as the panel shows it. */
async function shownRow(page: Page): Promise<Record<string, string>> {
  return page.evaluate(() => Object.fromEntries([...document.querySelectorAll<HTMLElement>('.panel [data-row]')].map((n) => [n.dataset['row']!, n.textContent ?? ''])));
}

test('the report opens quietly and asks for nothing', { skip }, async () => {
  const { page, complaints, requests, ready_ms } = await opened(browser, url);
  console.log(`${file}: ready after ${ready_ms} ms`);
  assert.equal(complaints.join('; '), '');
  assert.deepEqual(requests, [url]);
  assert.ok((await page.locator('.verdict').count()) > 0, 'it says something');
  await page.screenshot({ path: join(workFolder, `${name}.png`) });
  await page.context().close();
});

test('its points show the numbers of receivers.csv and the words of explained.csv', { skip }, async () => {
  const [receivers, explained] = [table('receivers.csv'), table('explained.csv')];
  const { page } = await opened(browser, url);
  if (await page.locator('.points .more').count()) await page.locator('.points .more').click();
  const count = await page.locator('.points tbody tr').count();
  const ids = new Set(receivers.map((r) => r['point_id']));
  const asked = pointIds().map((id, i) => (ids.has(id) ? i : -1)).filter((i) => i >= 0);
  let compared = 0;
  for (const i of asked.slice(0, 12)) {
    await page.locator(`.points tr[data-item="${i}"] button`).click();
    await page.waitForTimeout(150);
    const shown = await shownRow(page);
    const wanted = receivers.find((r) => ['point_id', 'node', 'sector'].every((k) => r[k] === shown[k]));
    if (wanted) {
      for (const [column, value] of Object.entries(shown)) assert.equal(value, wanted[column], `${shown['point_id']} ${column}`);
      compared += 1;
    }
  }
  if (receivers.length && count) assert.ok(compared > 0, 'no point of the page has its row in receivers.csv');
  if (explained.length && count) {
    const words = (await page.locator('.points .in-words').allTextContents()).map((t) => t.trim());
    const said = new Set(explained.map((r) => r['sentence']?.trim()));
    assert.ok(words.some((w) => said.has(w)), `no sentence of explained.csv is in the table: ${words[0]}`);
  }
  await page.context().close();
});

test('it fits a phone, by day and by night, without a fault that axe finds', { skip }, async () => {
  for (const colorScheme of ['light', 'dark'] as const) {
    const { page, complaints } = await opened(browser, url, { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true, colorScheme });
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 390);
    assert.deepEqual(await axeFaults(page), []);
    assert.deepEqual(complaints, []);
    await page.screenshot({ path: join(workFolder, `${name}_phone_${colorScheme}.png`) });
    await page.context().close();
  }
});

test('it prints', { skip }, async () => {
  const { page } = await opened(browser, url);
  const pdf = await page.pdf({ path: join(workFolder, `${name}.pdf`), preferCSSPageSize: true, printBackground: true });
  const pages = (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length;
  assert.ok(pages >= 2 && pages <= 30, `${pages} pages`);
  await page.context().close();
});
