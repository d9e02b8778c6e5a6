// The live view as the program itself serves it, where KERBRAY_PROGRAM names it and KERBRAY_SITE a folder of
// a site: a copy of that is changed, answered and saved.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import type { ChildProcess } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import type { Browser } from 'playwright-core';
import { openBrowser, opened, until, workFolder } from './browser';

const [program, site] = [process.env['KERBRAY_PROGRAM'] ?? '', process.env['KERBRAY_SITE'] ?? ''];
const skip = program && site ? false : 'KERBRAY_PROGRAM and KERBRAY_SITE name no program and site';
const folder = skip ? '' : mkdtempSync(join(tmpdir(), 'kerbray_live_'));
let [browser, serving]: [Browser | null, ChildProcess | null] = [null, null];
let address = '';

before(async () => {
  if (skip) return;
  browser = await openBrowser();
  cpSync(site, folder, { recursive: true });
  serving = spawn(program, ['serve', folder], { stdio: ['ignore', 'pipe', 'inherit'] });
  address = await new Promise<string>((found, failed) => {
    serving!.stdout!.once('data', (line: Buffer) => found(String(line).trim()));
    serving!.once('exit', (code) => failed(new Error(`kerbray serve ended with ${code}`)));
  });
});
after(async () => {
  serving?.removeAllListeners('exit').kill('SIGTERM');
  await browser?.close();
  if (folder) rmSync(folder, { recursive: true });
});

test('the program answers for the site as changed, and saves it', { skip, timeout: 300_000 }, async () => {
  const { page, complaints } = await opened(browser!, address, { viewport: { width: 1280, height: 900 } });
  const verdicts = async (): Promise<string> => (await page.locator('.verdict-text').allTextContents()).join('|');
  const first = await verdicts();
  const points = await page.locator('.points tbody').innerText();
  await page.screenshot({ path: join(workFolder, 'live_first.png'), fullPage: true });
  await page.locator('#node-0-height').fill('3');
  await page.locator('#node-0-height').press('Enter');
  await until(page, () => (document.querySelector('.whose')?.textContent ?? '').startsWith('With your changes'), 'the answers with the change', 120_000);
  assert.notEqual(await verdicts(), first, 'a node 3 m up holds elsewhere');
  assert.notEqual(await page.locator('.points tbody').innerText(), points);
  assert.ok((await page.locator('.about').innerText()).includes('3 m up'));
  await page.screenshot({ path: join(workFolder, 'live_changed.png'), fullPage: true });
  await page.locator('#save-name').fill('lower');
  await page.getByRole('button', { name: 'Save' }).click();
  await until(page, () => (document.querySelector('.live-says')?.textContent ?? '').includes('Saved as'), 'the saving');
  assert.ok(existsSync(join(folder, 'lower.toml')));
  assert.match(readFileSync(join(folder, 'lower.toml'), 'utf8'), /height_agl_m = 3\.0/);
  await page.getByRole('button', { name: 'Undo' }).click();
  await until(page, () => document.querySelector('.whose')?.textContent === 'Of the site as it was opened.', 'the site as it was', 60_000);
  assert.equal(await verdicts(), first);
  assert.deepEqual(complaints, []);
  await page.context().close();
});
