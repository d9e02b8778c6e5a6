// The report in a real browser, opened from disk: quiet, offline, right, readable by eye, key and ear.
import assert from 'node:assert/strict';
import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { spawnSync } from 'node:child_process';
import { Worker } from 'node:worker_threads';
import type { Browser, Page } from 'playwright-core';
import { axeFaults } from './axe';
import { bandValue, GroundAnswer } from '../../tools/viewer/src/site';
import { frames, openBrowser, opened, reportWith, workFolder } from './browser';
import { bigSize, demoSize, inventedAnswers } from './invented_answers';

const answers = inventedAnswers(demoSize);
let browser: Browser;
let report: string;
before(async () => {
  browser = await openBrowser();
  report = reportWith(answers, 'demo');
});
after(async () => browser.close());

/** The share of two cores that two busy threads get. */
async function freeShare(): Promise<number> {
  const busy = `const { performance } = require('node:perf_hooks'); const end = performance.now() + 400; while (performance.now() < end);`;
  const [start, before] = [performance.now(), process.cpuUsage()];
  await Promise.all([0, 1].map(() => new Promise((done) => new Worker(busy, { eval: true }).on('exit', done))));
  const used = process.cpuUsage(before);
  return (used.user + used.system) / 1000 / (2 * (performance.now() - start));
}

async function chosen(page: Page, id: string): Promise<void> {
  const end = Date.now() + 10_000;
  while ((await page.locator('.panel').getAttribute('data-place')) !== id) {
    if (Date.now() > end) throw new Error(`${id} was not chosen`);
    await page.waitForTimeout(25);
  }
}

test('opens from disk without a complaint and asks for nothing but itself', async () => {
  const { page, complaints, requests } = await opened(browser, report);
  assert.equal(complaints.join('; '), '');
  assert.deepEqual(requests, [report]);
  assert.match(await page.title(), /Quillmere/);
  assert.ok(await page.locator('h1').isVisible());
  for (const verdict of answers.verdicts) assert.ok(await page.getByText(verdict.text.metric).first().isVisible());
  // The policy is there and bites: a script put into the page does not run, an image is not fetched.
  await page.evaluate(() => {
    const script = document.createElement('script');
    script.textContent = 'document.title = "broken"';
    document.body.append(script, Object.assign(new Image(), { src: 'http://127.0.0.1:9/x.png' }));
  });
  assert.match(await page.title(), /Quillmere/);
  assert.ok((complaints as string[]).some((c: string) => c.includes('Content Security Policy')));
  await page.context().close();
});

test('draws nothing while nothing changes', async () => {
  const { page } = await opened(browser, report);
  await page.waitForTimeout(600);
  const first = await frames(page);
  await page.waitForTimeout(1500);
  assert.equal(await frames(page), first);
  await page.locator('.zoom button').first().click();
  await page.waitForTimeout(400);
  assert.ok((await frames(page)) > first);
  await page.context().close();
});

test('a click on a point opens its section with the numbers of its row', async () => {
  const { page, complaints } = await opened(browser, report);
  await page.locator('.stage').scrollIntoViewIfNeeded();
  const box = (await page.locator('.stage').boundingBox())!;
  for (const index of [2, 8, 12]) {
    const point = answers.points[index]!;
    const style = await page.locator(`.point-button[aria-label^="Point ${point.id},"]`).getAttribute('style');
    const [, x, y] = /translate\(([-\d.]+)px, ([-\d.]+)px/.exec(style ?? '')!;
    await page.mouse.click(box.x + Number(x), box.y + Number(y));
    await chosen(page, point.id);
    for (const column of ['rsrp_dbm', 'downlink_mbps', 'uplink_mbps', 'snr_db', 'p_hold']) {
      assert.equal(await page.locator(`.panel [data-column="${column}"]`).first().textContent(), point.ledger!.row[column]);
    }
    for (const [column, value] of Object.entries(point.ledger!.row)) {
      assert.equal(await page.locator(`.panel [data-row="${column}"]`).textContent(), value);
    }
    assert.ok(await page.locator('.panel svg.section .section-fresnel').count());
    assert.equal(await page.locator('.panel .ledger li').count() > 4, true);
    assert.ok(await page.locator(`tr[data-item="${index}"].chosen`).count(), 'its row is marked');
  }
  assert.deepEqual(complaints, []);
  await page.context().close();
});

test('a click on the ground shows its cell', async () => {
  const { page } = await opened(browser, report);
  await page.locator('.stage').scrollIntoViewIfNeeded();
  const box = (await page.locator('.stage').boundingBox())!;
  await page.locator('.stage').focus();
  await page.keyboard.press('Enter'); // the middle of the map
  await chosen(page, 'spot');
  await page.mouse.click(box.x + box.width * 0.62, box.y + box.height * 0.2);
  await page.waitForTimeout(300);
  const level = await page.locator('.panel [data-column="rsrp_dbm"]').first().textContent();
  const loss = await page.locator('.panel [data-column="path_loss_db"]').first().textContent();
  // That pair is one cell of the document.
  const ground = GroundAnswer.of(answers.prediction!);
  const [levels, losses] = [await ground.band('rsrp_dbm'), await ground.band('path_loss_db')];
  const number = (t: string | null): number => Number(t!.replace('−', '-'));
  const matches = [...levels].filter((v, i) => Math.abs(bandValue('rsrp_dbm', v) - number(level)) < 0.051 && Math.abs(bandValue('path_loss_db', losses[i]!) - number(loss)) < 0.051);
  assert.ok(matches.length > 0, `${level} dBm, ${loss} dB`);
  await page.context().close();
});

test('walking along the street moves the section', async () => {
  const { page } = await opened(browser, report);
  const slider = page.locator('#walk-along');
  await slider.focus();
  const heard: (string | null)[] = [];
  for (let i = 0; i < 3; i++) {
    await page.keyboard.press('ArrowRight');
    await page.waitForTimeout(200);
    heard.push(await page.locator('.panel .where').textContent());
  }
  assert.equal(new Set(heard).size, 3, heard.join('; '));
  await page.context().close();
});

test('feet instead of metres, everywhere', async () => {
  const { page } = await opened(browser, report);
  await page.getByLabel('Feet').check({ force: true });
  await page.waitForTimeout(200);
  for (const verdict of answers.verdicts) assert.ok(await page.getByText(verdict.text.imperial).first().isVisible());
  await page.locator('tr[data-item="2"] button').click();
  await chosen(page, answers.points[2]!.id);
  const said = await page.locator('.panel').innerText();
  assert.ok(!/\d m\b/.test(said.replace(/receivers\.csv[\s\S]*/, '')), said);
  await page.context().close();
});

test('on a phone nothing is wider than the screen and targets fit a thumb', async () => {
  const { page, complaints } = await opened(browser, report, { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 390, `${wide} px`);
  const smallOnes = await page.evaluate(() =>
    [...document.querySelectorAll('button, select, summary, input:not([type=radio])')]
      .filter((n) => n.checkVisibility() && !n.closest('.point-buttons'))
      .map((n) => ({ box: n.getBoundingClientRect(), what: n.outerHTML.slice(0, 80) }))
      .filter(({ box }) => box.height < 43.5 || box.width < 43.5).map(({ box, what }) => `${box.width.toFixed(0)}x${box.height.toFixed(0)} ${what}`));
  assert.deepEqual(smallOnes, []);
  assert.deepEqual(complaints, []);
  await page.screenshot({ path: join(workFolder, 'phone.png') });
  await page.context().close();
});

test('no fault that axe finds: light, dark, sunlight', async () => {
  for (const [scheme, light] of [['light', null], ['dark', null], ['light', 'sunlight']] as const) {
    const { page } = await opened(browser, report, { colorScheme: scheme });
    if (light) await page.locator('#theme').selectOption(light);
    await page.locator('tr[data-item="8"] button').click();
    await chosen(page, answers.points[8]!.id);
    await page.evaluate(() => document.querySelectorAll('details').forEach((d) => (d.open = true)));
    assert.deepEqual(await axeFaults(page), [], `${scheme} ${light ?? ''}`);
    const paper = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const dark = /rgb\((\d+)/.exec(paper)!;
    assert.equal(Number(dark[1]) < 60, scheme === 'dark', paper);
    await page.context().close();
  }
});

test('the 3D street and the eye are drawn, and differ', async () => {
  const { page, complaints } = await opened(browser, report);
  await page.locator('tr[data-item="6"] button').click();
  await chosen(page, answers.points[6]!.id);
  const seen = new Set<string>();
  for (const view of ['map', 'street', 'eye']) {
    await page.locator(`.choice input[value="${view}"]`).check({ force: true });
    await page.waitForTimeout(500);
    seen.add((await page.locator('.stage').screenshot()).toString('base64'));
  }
  assert.equal(seen.size, 3);
  assert.deepEqual(complaints, []);
  await page.context().close();
});

test('prints to clean pages', async () => {
  const { page } = await opened(browser, report);
  await page.locator('tr[data-item="8"] button').click();
  await chosen(page, answers.points[8]!.id);
  const file = join(workFolder, 'report.pdf');
  await page.pdf({ path: file, preferCSSPageSize: true, printBackground: true });
  assert.ok(statSync(file).size > 20_000);
  const pages = (readFileSync(file, 'latin1').match(/\/Type\s*\/Page\b/g) ?? []).length;
  assert.ok(pages >= 2 && pages <= 9, `${pages} pages`);
  const text = spawnSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
  if (text.status === 0) {
    const words = text.stdout.replace(/\s+/g, ' ');
    for (const wanted of ['Holds to 219 m', 'Point Q9', 'Along the street', 'The measured points', 'What is assumed', 'not a service guarantee']) assert.ok(words.includes(wanted), wanted);
    for (const unwanted of ['for sunlight', 'Show on the map', 'Walk along it', 'Choose a place']) assert.ok(!words.includes(unwanted), unwanted);
  }
  await page.emulateMedia({ media: 'print' });
  assert.equal(await page.locator('.switches').isVisible(), false);
  await page.context().close();
});

test('of a long survey paper has the first rows, and says where all are', async () => {
  const { page } = await opened(browser, reportWith(inventedAnswers({ ...demoSize, points: 60 }), 'long'));
  const shown = (): Promise<number> => page.locator('.points tr[data-item]:visible').count();
  assert.equal(await shown(), 60);
  assert.equal(await page.locator('.on-paper').isVisible(), false);
  await page.emulateMedia({ media: 'print' });
  assert.equal(await shown(), 40);
  assert.equal(await page.locator('.on-paper').innerText(), '40 of 60 rows are printed. All are in explained.csv beside this page.');
  await page.context().close();
});

test('without WebGL the words, plots, tables and a still map are there', async () => {
  const { page, complaints } = await opened(browser, report, {}, async (p) => {
    await p.addInitScript(() => {
      const own = HTMLCanvasElement.prototype.getContext;
      HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, kind: string, ...more: unknown[]) {
        return kind.startsWith('webgl') ? null : (own as (...a: unknown[]) => unknown).call(this, kind, ...more);
      } as typeof own;
    });
  });
  assert.deepEqual(complaints, []);
  assert.ok(await page.locator('.static-map').isVisible());
  assert.ok((await page.locator('.static-map path').count()) > 5);
  assert.equal(await page.locator('.plot svg').count(), 2);
  assert.equal(await page.locator('.points tr[data-item]').count(), answers.points.length);
  await page.locator('.static-map .choosable').nth(3).dispatchEvent('click');
  await chosen(page, answers.points[3]!.id);
  assert.ok(await page.locator('.panel svg.section').isVisible());
  assert.deepEqual(await axeFaults(page), []);
  await page.context().close();
});

test('a site of bare flat ground, without nodes, points or answers', async () => {
  const bare = structuredClone(answers);
  Object.assign(bare, { prediction: null, points: [], suspects: [], comparison: null, verdicts: [{ kind: 'note', text: { metric: 'No node is known.', imperial: 'No node is known.' }, place: null }] });
  Object.assign(bare.scene, { ground: null, nodes: [], meshes: [], things: [], outlines: [], streets: [] });
  const { page, complaints } = await opened(browser, reportWith(bare, 'bare'));
  assert.deepEqual(complaints, []);
  assert.equal(await page.locator('.failure').count(), 0);
  await page.locator('.stage').focus();
  await page.keyboard.press('Enter');
  await chosen(page, 'spot');
  assert.ok((await page.locator('.panel').innerText()).includes('no node serves this place'));
  await page.locator('.choice input[value="street"]').check({ force: true });
  await page.emulateMedia({ media: 'print' });
  assert.ok(await page.getByText('No node is known.').first().isVisible());
  await page.context().close();
});

test('words of the document are never read as markup', async () => {
  const sly = structuredClone(answers);
  const markup = '<img src=x onerror="document.title=1"><script>document.title=2</script></script>';
  sly.site = markup;
  sly.verdicts[0]!.text = { metric: markup, imperial: markup };
  sly.points[2]!.sentence = { metric: markup, imperial: markup };
  sly.comparison!.charts[0]!.svg = '<svg xmlns="http://www.w3.org/2000/svg" onload="document.title=3"><script>document.title=4</script><a href="javascript:0"><text>x</text></a><use href="https://example.org/x.svg#a"/><defs><path id="letter" d="M0 0h6"/></defs><use xlink:href="#letter" xmlns:xlink="http://www.w3.org/1999/xlink"/></svg>';
  const { page, complaints } = await opened(browser, reportWith(sly, 'sly'));
  // The handler in the drawing is refused while it is read, before the page strips it.
  assert.ok(complaints.every((c) => c.includes('inline event handler')), complaints.join('; '));
  assert.match(await page.title(), /where the link holds/);
  assert.equal(await page.locator('h1').textContent(), markup);
  assert.equal(await page.locator('.chart script, .chart a, main img').count(), 0);
  // Letters are shapes of the drawing itself; a shape from elsewhere is not used.
  assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll('.chart use')].map((u) => u.getAttribute('href') ?? u.getAttribute('xlink:href'))), [null, '#letter']);
  await page.context().close();
});

test('a city of 2,000 buildings and 250,000 cells loads in under 3 s', async (t) => {
  const big = inventedAnswers(bigSize);
  assert.equal(big.scene.outlines.length, 2000);
  assert.ok(big.prediction!.grid.columns * big.prediction!.grid.rows >= 250_000);
  const url = reportWith(big, 'big');
  const times: number[] = [];
  for (let i = 0; i < 3; i++) {
    const { page, ready_ms, complaints } = await opened(browser, url);
    assert.deepEqual(complaints, []);
    times.push(ready_ms);
    await page.context().close();
  }
  console.log(`2,000 buildings, 250,000 cells, processor drawing: ready after ${times.join(', ')} ms; file ${(statSync(join(workFolder, 'big.html')).size / 1e6).toFixed(1)} MB`);
  // What the page promises, for the best of three, where the processor is there to be had.
  const free = await freeShare();
  if (free < 0.9) return t.skip(`other work has ${Math.round(100 * (1 - free))} % of the two cores this needs; times are printed above`);
  assert.ok(Math.min(...times) < 3000, `${times.join(', ')} ms`);
});
