// The live view against a stand-in for the program: what a hand or a key changes is asked, and shown.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import type { Browser, Page } from 'playwright-core';
import { openBrowser, opened, pageFolder, until } from './browser';
import { fakeServer } from './fake_server';
import type { FakeServer } from './fake_server';
import { axeFaults } from './axe';

let browser: Browser;
let server: FakeServer;
before(async () => {
  browser = await openBrowser();
  server = await fakeServer(pageFolder, 'quillmere-secret');
});
after(async () => {
  await browser.close();
  server.close();
});

async function nodeAt(page: Page): Promise<[number, number]> {
  await page.locator('.stage').scrollIntoViewIfNeeded();
  const box = (await page.locator('.stage').boundingBox())!;
  const style = await page.locator('.point-button[aria-label^="Node N1"]').getAttribute('style');
  const [, x, y] = /translate\(([-\d.]+)px, ([-\d.]+)px/.exec(style ?? '')!;
  return [box.x + Number(x), box.y + Number(y)];
}

async function settled(page: Page): Promise<void> {
  await until(page, () => document.querySelector<HTMLElement>('.stage')?.dataset['mapStage'] === 'final', 'the finest map');
}

async function forget(page: Page): Promise<void> {
  server.heard.length = 0;
  await page.evaluate(() => delete document.querySelector<HTMLElement>('.stage')!.dataset['mapStage']);
}

const picture = async (page: Page): Promise<string> => (await page.locator('.stage').screenshot()).toString('base64');

test('the token leaves the address and goes with every question', async () => {
  const { page, complaints, requests } = await opened(browser, server.address);
  assert.deepEqual(complaints, []);
  assert.ok(!page.url().includes('quillmere-secret'));
  assert.equal(server.refused, 0);
  const own = new URL(server.address).origin;
  assert.ok(requests.every((r) => r.startsWith(own)), requests.join(' '));
  await page.context().close();
});

test('dragging the node asks for its new map and shows it; undo brings the old one back', async () => {
  const { page, complaints } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  await page.mouse.move(2, 2);
  const first = await picture(page);
  await forget(page);
  const [x, y] = await nodeAt(page);
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 8; i++) {
    await page.mouse.move(x - 9 * i, y + 2 * i);
    await page.waitForTimeout(40);
  }
  await page.mouse.up();
  await settled(page);
  const asked = server.heard.filter((h) => h.path === 'map');
  assert.ok(asked.length >= 2, 'maps come while the hand moves');
  const last = asked.at(-1)!.edits;
  assert.equal(last.length, 1, 'one drag is one change');
  assert.equal(last[0]!.do, 'move_node');
  const [nx, ny] = await nodeAt(page);
  assert.ok(Math.abs(nx - (x - 72)) < 2 && Math.abs(ny - (y + 16)) < 2, 'the node is where the hand left it');
  await page.mouse.move(2, 2);
  await page.waitForTimeout(200);
  assert.notEqual(await picture(page), first);
  await forget(page);
  await page.getByRole('button', { name: 'Undo' }).click();
  await settled(page);
  assert.deepEqual(server.heard.at(-1)!.edits, []);
  assert.ok(Math.abs((await nodeAt(page))[0] - x) < 1);
  await forget(page);
  await page.getByRole('button', { name: 'Redo' }).click();
  await settled(page);
  assert.equal(server.heard.find((h) => h.path === 'map')!.edits.length, 1);
  assert.deepEqual(complaints, []);
  await page.context().close();
});

const whose = async (page: Page): Promise<string> => page.locator('.opening .whose').innerText();
/** Waits until it begins so. */
async function whoseIs(page: Page, start: string): Promise<void> {
  for (let i = 0; i < 600; i++) {
    const now = await whose(page);
    if (now.startsWith(start)) return;
    await page.waitForTimeout(25);
  }
  assert.fail(`"${await whose(page)}" where "${start}" was awaited`);
}

test('words, plots and tables follow the change, and go back with it', async () => {
  const { page, complaints } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  const verdict = page.locator('.verdict-text').first();
  const [first, runs] = [await verdict.innerText(), await page.locator('#plot-run option').allTextContents()];
  assert.equal(await whose(page), 'Of the site as it was opened.');
  await forget(page);
  server.overtaken = 1; // another window asked in between: asked again
  await page.locator('#rain').fill('25');
  await page.keyboard.press('Tab');
  await whoseIs(page, 'Still without your changes: rain 25 mm/h');
  assert.equal(await verdict.innerText(), first, 'until then what stood there stays');
  await whoseIs(page, 'With your changes: rain 25 mm/h');
  assert.equal(await verdict.innerText(), 'Holds after 1.');
  assert.deepEqual(await page.locator('#plot-run option').allTextContents(), ['Alder Row, from N1']);
  assert.ok((await page.locator('.plots-part').innerText()).includes('With your changes'));
  assert.equal(server.heard.filter((h) => h.path === 'answers').length, 2);
  // A second change before the first is answered: only the newest is asked for.
  await forget(page);
  for (const key of ['ArrowRight', 'ArrowRight', 'ArrowUp']) await page.locator('.point-button[aria-label^="Node N1"]').press(key);
  await whoseIs(page, 'With your changes: rain 25 mm/h; N1 moved');
  assert.equal(await verdict.innerText(), 'Holds after 2.');
  assert.equal(server.heard.filter((h) => h.path === 'answers').length, 1);
  await page.getByRole('button', { name: 'Start again' }).click();
  await whoseIs(page, 'Of the site as it was opened.');
  await until(page, () => document.querySelectorAll('#plot-run option').length > 1, 'the streets of before');
  assert.equal(await verdict.innerText(), first);
  assert.deepEqual(await page.locator('#plot-run option').allTextContents(), runs);
  assert.deepEqual(complaints.filter((c) => !c.includes('409')), []);
  await page.context().close();
});

test('the map stays where it is under a hand that rests in a drag, and words come when it lets go', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  const [x, y] = await nodeAt(page);
  const top = async (): Promise<number> => (await page.locator('.stage').boundingBox())!.y;
  const before = await top();
  await forget(page);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 30, y + 6);
  await settled(page);
  await page.waitForTimeout(900); // longer than the words would take
  assert.equal(server.heard.filter((h) => h.path === 'answers').length, 0);
  assert.equal(await top(), before);
  await page.mouse.up();
  await whoseIs(page, 'With your changes: N1 moved');
  await page.context().close();
});

test('what is taken away goes from the picture, though another change follows at once', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  const box = (await page.locator('.stage').boundingBox())!;
  const chosen = page.locator('.change-group .hint', { hasText: 'Chosen:' });
  let at: [number, number] | null = null;
  for (let i = 1; i < 60 && !at; i++) {
    const [x, y] = [box.x + box.width * ((i * 0.37) % 1), box.y + 60 + ((i * 53) % (box.height - 160))];
    await page.mouse.click(x, y);
    await page.waitForTimeout(60);
    if (await chosen.count()) at = [x, y];
  }
  assert.ok(at, 'a house is under one of the clicks');
  const house = await chosen.innerText();
  server.scene_ms = 300;
  await page.getByRole('button', { name: 'Take it away' }).click();
  await page.locator('#leaves').selectOption('off'); // before the scene is there
  await page.waitForTimeout(900);
  server.scene_ms = 0;
  await page.mouse.click(...at!);
  await page.waitForTimeout(200);
  assert.ok(!(await page.locator('.change-panel').innerText()).includes(house), `${house} is gone`);
  await page.context().close();
});

test('heights are read in the unit that is shown, and sent in metres', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  const height = page.locator('#node-0-height');
  const metres = Number(await height.inputValue());
  await page.locator('#add-height').fill('3');
  await page.getByLabel('Feet').check({ force: true });
  assert.ok(Math.abs(Number(await height.inputValue()) - metres / 0.3048) < 0.06);
  assert.equal(await page.locator('#add-height').inputValue(), '9.8'); // 3 m / 0.3048
  assert.ok((await page.locator('label[for="node-0-height"]').innerText()).includes('ft'));
  await forget(page);
  await height.fill('26');
  await height.press('Enter');
  await page.locator('#add-height').focus();
  await settled(page);
  const edit = server.heard.find((h) => h.path === 'map')!.edits.at(-1)!;
  assert.ok(edit.do === 'raise_node' && Math.abs(edit.height_agl_m - 26 * 0.3048) < 1e-9, JSON.stringify(edit));
  assert.ok((await page.locator('.done-list').innerText()).includes('26 ft'));
  await forget(page);
  await height.fill('9000'); // no mast is that high
  await height.press('Enter');
  await page.waitForTimeout(200);
  assert.equal(server.heard.filter((h) => h.path === 'map').length, 0);
  await page.context().close();
});

test('a site whose nodes nobody knows can be changed too', async () => {
  const bare = await fakeServer(pageFolder, 'quillmere-secret', false);
  const { page, complaints } = await opened(browser, bare.address, { viewport: { width: 1280, height: 900 } });
  await page.locator('#leaves').selectOption('off');
  await settled(page);
  await whoseIs(page, 'With your changes: leaves off');
  assert.deepEqual(complaints, []);
  await page.context().close();
  bare.close();
});

test('a sector turns by its ring and by number, a node by keys', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  const before = Number(await page.locator('#node-0-0-azimuth').inputValue());
  const [x, y] = await nodeAt(page);
  const a = (before * Math.PI) / 180;
  await forget(page);
  await page.mouse.move(x + 46 * Math.sin(a), y - 46 * Math.cos(a));
  await page.mouse.down();
  await page.mouse.move(x + 10, y - 60, { steps: 4 });
  await page.mouse.move(x, y - 60);
  await page.mouse.up();
  await settled(page);
  const turned = Number(await page.locator('#node-0-0-azimuth').inputValue());
  assert.ok(Math.min(turned, 360 - turned) < 2, `${turned}`); // due north
  assert.equal(server.heard.at(-1)!.edits[0]!.do, 'turn_sector');
  await forget(page);
  await page.locator('#node-0-height').fill('11');
  await page.keyboard.press('Tab');
  await settled(page);
  assert.deepEqual(server.heard.find((h) => h.path === 'map')!.edits.at(-1), { do: 'raise_node', node: 0, height_agl_m: 11 });
  await forget(page);
  await page.locator('.point-button[aria-label^="Node N1"]').focus();
  await page.keyboard.press('Shift+ArrowRight');
  await page.keyboard.press('ArrowUp');
  await settled(page);
  const kinds = server.heard.filter((h) => h.path === 'map').at(-1)!.edits.map((e) => e.do);
  assert.deepEqual(kinds, ['turn_sector', 'raise_node', 'move_node']);
  await page.context().close();
});

test('things are put in and taken away, leaves fall, rain falls', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  await page.locator('tr[data-item="3"] button').click();
  await page.waitForTimeout(300);
  await forget(page);
  await page.locator('#add-what').selectOption('tree');
  await page.getByRole('button', { name: 'Put it at the chosen place' }).click();
  await settled(page);
  const add = server.heard.find((h) => h.path === 'map')!.edits[0]!;
  assert.equal(add.do === 'add' && add.what, 'tree');
  assert.ok(server.heard.some((h) => h.path === 'scene'), 'the scene is asked for again');
  await page.getByRole('button', { name: 'Take away' }).first().click();
  await page.locator('#leaves').selectOption('off');
  await page.locator('#rain').fill('25');
  await page.keyboard.press('Tab');
  await page.waitForTimeout(300);
  await settled(page);
  const edits = server.heard.filter((h) => h.path === 'map').at(-1)!.edits;
  assert.deepEqual(edits.slice(1), [{ do: 'unadd', add: 0 }, { do: 'leaf_on', on: false }, { do: 'rain', mm_per_h: 25 }]);
  await page.context().close();
});

test('a place is asked of the program, with its whole ledger', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  await page.locator('.stage').scrollIntoViewIfNeeded();
  const box = (await page.locator('.stage').boundingBox())!;
  await page.mouse.click(box.x + box.width / 2 + 40, box.y + box.height / 2 - 120);
  await until(page, () => document.querySelectorAll('.panel .ledger li').length > 4, 'the ledger');
  assert.ok((await page.locator('.panel').innerText()).includes('Asked of the server.'));
  await page.context().close();
});

test('a survey is read by the program; its complaint is shown; the site is saved', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 1280, height: 900 } });
  await page.locator('#survey-file').setInputFiles({ name: 'bad.csv', mimeType: 'text/csv', buffer: Buffer.from('x,y\n1,2\n') });
  await until(page, () => (document.querySelector('.live-says')?.textContent ?? '').includes('no column lon'), 'the complaint');
  const rows = await page.locator('.points tr[data-item]').count();
  await page.locator('#survey-file').setInputFiles({ name: 'walk.csv', mimeType: 'text/csv', buffer: Buffer.from('lon,lat\n1,2\n') });
  await until(page, () => (document.querySelector('.live-says')?.textContent ?? '').includes('explained'), 'the survey');
  assert.equal(await page.locator('.points tr[data-item]').count(), rows + 1);
  await page.getByRole('button', { name: 'Save' }).click(); // under the name that stands there
  await until(page, () => (document.querySelector('.live-says')?.textContent ?? '').includes('Saved as site_changed.toml'), 'the saving');
  await page.locator('#save-name').fill('higher.toml');
  await page.getByRole('button', { name: 'Save' }).click();
  await until(page, () => (document.querySelector('.live-says')?.textContent ?? '').includes('Saved as higher.toml'), 'the saving');
  await page.context().close();
});

test('no fault that axe finds, and nothing wider than a phone', async () => {
  const { page } = await opened(browser, server.address, { viewport: { width: 390, height: 844 }, hasTouch: true });
  assert.deepEqual(await axeFaults(page), []);
  assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 390);
  await page.context().close();
});
