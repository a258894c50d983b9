// The page in a real browser, against a service of its own.
//
//   node page_test.mjs ROOT AGONICD TOOLS OUT
//
// TOOLS is the folder whose node_modules hold playwright-core and axe-core; screenshots and the printed page go to OUT.
import assert from 'node:assert/strict';
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { accessible, browser, DESK, fits, go, loggedBesidesTime, lookUp, measured, open, out, PHONE, root, service, shot, step, stepsDone, targets, textOf } from './frame.mjs';

try {
  await step('the answer, on a phone', async () => {
    const { context, page, faults, asked } = await open();
    await shot(page, 'phone-first');
    const begun = Date.now();
    await page.fill('[name=place]', '42.283 -71.35');
    await page.fill('[name=date]', '2028-07-04');
    await page.waitForSelector('#declination');
    measured.answer_ms = Date.now() - begun;
    // 13.69 W: a value of the WMM2025 documentation (height 1000 m, which does not move the second decimal).
    assert.equal(await textOf(page, '#declination'), '13.69° W (-13.69)');
    assert.equal(await textOf(page, '#set-to'), '14° W (-14)');
    assert.match(await textOf(page, '#turn'), /counterclockwise/);
    assert.equal(await textOf(page, '#reads'), '346');
    assert.match(await textOf(page, '.orders'), /If it reads 014, it is set backwards/);
    assert.match(await textOf(page, '#holds'), /2030-01-01/);
    assert.match(await textOf(page, '.facts'), /± 0\.37°.*± 1\.6°.*0\.07° toward east/);
    assert.equal(await page.getAttribute('.dial', 'data-reads'), '346');
    const tall = await page.$eval('.numeral-size', (one) => parseFloat(getComputedStyle(one).fontSize));
    assert.ok(tall >= 32, `the answer stands ${tall} px high`);
    for (const value of await page.$$eval('.order-value', (all) => all.slice(0, 3).map((one) => parseFloat(getComputedStyle(one).fontSize)))) assert.ok(value >= 24);
    assert.ok(!page.url().slice(service.origin.length).includes('42'), 'the place stands in no address');
    assert.deepEqual(asked.filter((url) => !url.startsWith(service.origin) && !url.startsWith('blob:') && !url.startsWith('data:')), [], 'nobody else is asked');
    assert.deepEqual(asked.filter((url) => url.includes('/v1/')), [], 'a lookup asks the service nothing');
    await page.waitForTimeout(900);
    await fits(page, 'answer');
    await targets(page, 'answer');
    await accessible(page, 'answer');
    await shot(page, 'phone-answer');
    assert.deepEqual(faults, []);
    await context.close();
  });

  await step('themes', async () => {
    for (const theme of ['light', 'dark', 'sun']) {
      const { context, page } = await open({ size: theme === 'light' ? DESK : PHONE }, { theme });
      await lookUp(page, '64.1 -21.9', '2026-08-01');
      await page.waitForSelector('#declination');
      await page.waitForTimeout(600);
      await accessible(page, theme, true);
      await shot(page, `${theme === 'light' ? 'desk' : 'phone'}-${theme}`);
      await context.close();
    }
  });

  await step('what is refused says what to do', async () => {
    const { context, page } = await open();
    await lookUp(page, '18S 585628 4511322', '2026-08-01');
    await page.waitForSelector('.problem');
    assert.match(await textOf(page, '.problem'), /band S .*southern hemisphere/);
    await accessible(page, 'problem');
    await page.click('.problem button:has-text("south")');
    await page.waitForSelector('#declination');
    await lookUp(page, '46.5 7.25', '03/04/2005');
    await page.waitForSelector('.problem');
    await page.click('.problem button:has-text("dd.mm.yyyy")');
    await page.waitForSelector('#declination');
    assert.match(await textOf(page, '.provenance'), /2005-04-03/);
    // Beside the magnetic pole a needle hangs: no setting unless asked for.
    await lookUp(page, '86 160', '2026-08-01');
    await page.waitForSelector('.needle-unusable');
    assert.equal(await page.$('#set-to'), null);
    await shot(page, 'phone-unusable');
    // Before 1900 the oldest model answers.
    await lookUp(page, '51.5 -0.1', '1725-06-01');
    await page.waitForFunction(() => /gufm1/.test(document.querySelector('.provenance')?.textContent ?? ''));
    await context.close();
  });

  await step('the device\'s position, only on a tap; refusal is harmless', async () => {
    const yes = await open({ permissions: ['geolocation'], geolocation: { latitude: 46.5, longitude: 7.25 } });
    await yes.page.click('text=My position');
    await yes.page.waitForSelector('#declination');
    assert.match(await yes.page.inputValue('[name=place]'), /^46\.50000 7\.25000$/);
    await yes.context.close();
    const no = await open();
    await no.context.clearPermissions();
    await no.page.click('text=My position');
    await no.page.waitForFunction(() => /gives no position/.test(document.querySelector('.said').textContent));
    await lookUp(no.page, '46.5 7.25', '2026-08-01');
    await no.page.waitForSelector('#declination');
    await no.context.close();
  });

  await step('the map, by tap and by keyboard', async () => {
    const { context, page, faults } = await open({ size: DESK });
    await page.click('text=Map');
    await page.waitForSelector('canvas.world');
    await page.waitForTimeout(300);
    const box = await (await page.$('canvas.world')).boundingBox();
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await page.waitForSelector('#declination');
    const tapped = (await page.inputValue('[name=place]')).split(' ').map(Number);
    assert.ok(tapped.every((degrees) => Math.abs(degrees) <= 1), `${tapped}`);
    await page.focus('canvas.world');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Enter');
    const moved = (await page.inputValue('[name=place]')).split(' ').map(Number);
    assert.ok(Math.abs(moved[0] - tapped[0] - 1) < 0.11 && Math.abs(moved[1] - tapped[1] - 10) < 0.11, `${moved}`);
    await accessible(page, 'map');
    await shot(page, 'desk-map');
    assert.deepEqual(faults, []);
    await context.close();
  });

  await step('a link carries the place only when it is asked for, and is taken in silence', async () => {
    const { context, page } = await open({ permissions: ['clipboard-read', 'clipboard-write'] });
    await lookUp(page, '46.5 7.25', '2026-08-01');
    await page.waitForSelector('#declination');
    await page.click('text=Copy a link');
    await page.waitForFunction(() => /Copied/.test(document.body.textContent));
    const link = await page.evaluate(() => navigator.clipboard.readText());
    assert.match(link, /#\/answer\?place=46\.5/);
    const other = await context.newPage();
    await other.goto(link);
    await other.waitForSelector('#declination');
    assert.ok(!other.url().includes('46.5'));
    await context.close();
  });

  await step('one reading with its sum', async () => {
    for (const size of [PHONE, DESK]) {
      const { context, page, faults, asked } = await open({ size });
      await go(page, 'reading');
      await lookUp(page, '46.5 7.25', '2008-07-04');
      await page.fill('[name=azimuth]', '100');
      await page.selectOption('[name=north_reference]', 'circle');
      await page.fill('[name=set_declination]', '3');
      // Without its side it is asked back.
      await page.waitForFunction(() => /\b3E\b/.test(document.querySelector('.problem')?.textContent ?? ''));
      await page.fill('[name=set_declination]', '3E');
      await page.waitForSelector('#sum');
      const lines = await page.$$eval('#sum tr', (rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent.trim())));
      // true = read - set + declination, line by line.
      const number = ([, text]) => Number(/^-?[\d.]+/.exec(text)[0]) * (/W/.test(text) ? -1 : 1);
      const [read, set, magnetic, declination, truth] = lines.map(number);
      assert.deepEqual(lines.slice(0, 5).map(([sign]) => sign), ['', '−', '=', '+', '=']);
      assert.ok(Math.abs(read - set - magnetic) < 0.0011 && Math.abs(magnetic + declination - truth) < 0.0011, JSON.stringify(lines));
      assert.match(await textOf(page, '#azimuth-true'), /^097\.\d\d°$/);
      assert.deepEqual(asked.filter((url) => url.includes('/v1/')), []);
      await fits(page, 'reading');
      await targets(page, 'reading');
      await accessible(page, 'reading');
      await shot(page, size === PHONE ? 'phone-reading' : 'desk-reading');
      assert.deepEqual(faults, []);
      await context.close();
    }
  });

  await step('a notebook on the device and by the service', async () => {
    const notes = readFileSync(join(root, 'tests/data/notes.csv'), 'utf8');
    for (const where of ['device', 'service']) {
      const { context, page, faults, asked } = await open({ size: where === 'device' ? PHONE : DESK });
      await go(page, 'notebook');
      await page.fill('.paste', notes);
      await page.waitForSelector('#run');
      if (where === 'service') await page.click('text=by the service this page came from');
      await page.selectOption('[name=date_order]', 'dmy');
      await page.click('#run');
      await page.waitForSelector('#done');
      assert.match(await textOf(page, '#done'), /^12 corrected, 1 unchanged, 1 refused of 14$/);
      assert.match(await textOf(page, '.row-refused'), /it is not said what was set/);
      assert.equal(asked.some((url) => url.includes('/v1/correct')), where === 'service');
      const [file] = await Promise.all([page.waitForEvent('download'), page.click('#download')]);
      assert.match(file.suggestedFilename(), /\.csv$/);
      const result = readFileSync(await file.path(), 'utf8');
      assert.ok(result.startsWith('id,lat,lon,date,azimuth,dip,plane_convention,north_reference,set_declination,observer,note,azimuth_true,'));
      await page.click('#only');
      assert.equal((await page.$$('.rows tbody tr')).length, 1);
      await page.click('#only');
      await fits(page, 'notebook');
      await targets(page, 'notebook');
      await accessible(page, 'notebook');
      await shot(page, where === 'device' ? 'phone-notebook' : 'desk-notebook');
      assert.deepEqual(faults, []);
      await context.close();
    }
  });

  await step('columns of other names are guessed, shown and asked about; JSON goes to the service', async () => {
    const { context, page, asked } = await open({ size: DESK });
    await go(page, 'notebook');
    await page.fill('.paste', 'Station;Latitude;Longitude;Strike;Dip;Who\nA;46,5;7,25;100,5;40;N.N.\nB;46,6;7,25;280;35;N.N.\n');
    await page.waitForSelector('#run');
    assert.deepEqual(await page.$$eval('.column-list select', (all) => all.map((one) => one.value)), ['id', 'lat', 'lon', 'azimuth', 'dip', '']);
    assert.deepEqual(await page.$$eval('.asks [name]', (all) => all.map((one) => one.name)), ['date', 'north_reference', 'set_declination', 'plane_convention']);
    await page.fill('[name=date]', '2016-08-09');
    await page.selectOption('[name=north_reference]', 'circle');
    await page.fill('.asks [name=set_declination]', '0');
    await page.selectOption('[name=plane_convention]', 'right_hand');
    await shot(page, 'desk-notebook-asks');
    await page.click('#run');
    await page.waitForSelector('#done');
    assert.match(await textOf(page, '#done'), /^2 corrected, 0 unchanged, 0 refused/);
    await page.fill('.paste', JSON.stringify({ readings: [{ lat: 46.5, lon: 7.25, date: '2016-08-09', azimuth: 100, north_reference: 'magnetic' }] }));
    await page.waitForFunction(() => /needs the service/.test(document.body.textContent));
    await page.click('#run');
    await page.waitForSelector('#done');
    assert.match(await textOf(page, '#done'), /^1 corrected/);
    assert.ok(asked.some((url) => url.includes('/v1/correct')));
    assert.ok(asked.every((url) => !url.includes('46.5')));
    await context.close();
  });

  await step('instruments', async () => {
    const { context, page, faults } = await open();
    await go(page, 'instruments');
    await page.waitForSelector('text=No instrument is recorded yet.');
    await accessible(page, 'instruments');
    await page.click('summary:has-text("Add an instrument")');
    await page.fill('[name=id]', 'BR-07');
    await page.fill('[name=graduation]', '0.5');
    await page.fill('details[open] [name=why]', 'new in the set');
    await page.click('details[open] .button.main');
    await page.waitForSelector('h2:has-text("BR-07")');
    await page.click('summary:has-text("Record an index error")');
    await page.fill('[name=error]', '0.4');
    await page.fill('[name=sigma]', '0.2');
    await page.fill('details[open] [name=from]', '2026-03-01');
    await page.fill('details[open] [name=why]', 'spring check');
    await page.click('details[open] .button.main');
    await page.waitForSelector('text=+0.40° ± 0.20°');
    await page.click('summary:has-text("Record what was set")');
    await page.fill('[name=set]', '13.5');
    await page.fill('details[open] [name=from]', '2026-04-01');
    await page.fill('details[open] [name=why]', 'set for the season');
    await page.click('details[open] .button.main');
    await page.waitForSelector('.problem');
    await page.fill('[name=set]', '13.5W');
    await page.click('details[open] .button.main');
    await page.waitForSelector('text=13.50° W (-13.50)');
    await fits(page, 'instruments');
    await targets(page, 'instruments');
    await accessible(page, 'record');
    await shot(page, 'phone-instrument');
    // A key is kept in memory, and written down only when that is asked for.
    await page.fill('[name=key]', 'not-a-key');
    await page.click('text=Use the key');
    await page.waitForSelector('.problem');
    assert.equal(await page.evaluate(() => localStorage.getItem('agonic-key')), null);
    assert.deepEqual(faults.filter((fault) => !/401|403/.test(fault)), []);
    await context.close();
  });

  await step('index errors from sightings', async () => {
    const { context, page, faults, asked } = await open({ size: DESK });
    await go(page, 'fit');
    await page.click('text=Fill in an invented example');
    await page.click('#run');
    await page.waitForSelector('#result .order-value');
    assert.match(await textOf(page, '#result'), /K7/);
    assert.ok(asked.every((url) => !url.includes('46.5')));
    await accessible(page, 'fit');
    await shot(page, 'desk-fit');
    assert.deepEqual(faults, []);
    await context.close();
  });

  await step('models, German, keyboard', async () => {
    const { context, page, faults } = await open({ locale: 'de-DE' });
    assert.equal(await page.getAttribute('html', 'lang'), 'de');
    await go(page, 'about');
    await page.waitForSelector('.good');
    await accessible(page, 'about');
    await go(page, 'answer');
    await lookUp(page, '46.5 7.25', '2026-08-01');
    await page.waitForSelector('#declination');
    assert.match(await textOf(page, '.orders'), /im Uhrzeigersinn/);
    await fits(page, 'German');
    await shot(page, 'phone-german');
    await page.click('text=English');
    await page.waitForFunction(() => document.documentElement.lang === 'en');
    // The first stop of the keyboard leads past the views.
    await page.reload();
    await page.waitForSelector('main h1', { state: 'attached' });
    await page.keyboard.press('Tab');
    assert.equal(await page.evaluate(() => document.activeElement.className), 'skip');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    assert.equal(await page.evaluate(() => document.activeElement.name), 'place');
    assert.deepEqual(faults, []);
    await context.close();
  });

  await step('airplane mode after one visit', async () => {
    const { context, page } = await open({ workers: 'allow' });
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.waitForFunction(async () => (await caches.keys()).length === 1 && (await (await caches.open((await caches.keys())[0])).keys()).length > 10);
    await context.setOffline(true);
    await page.reload();
    await page.waitForSelector('main h1', { state: 'attached' });
    await lookUp(page, '42.283 -71.35', '2028-07-04');
    await page.waitForSelector('#declination');
    assert.equal(await textOf(page, '#declination'), '13.69° W (-13.69)');
    assert.ok(await page.isVisible('#net'));
    await shot(page, 'phone-offline');
    await lookUp(page, '51.5 -0.1', '1725-06-01');
    await page.waitForFunction(() => /gufm1/.test(document.querySelector('.provenance')?.textContent ?? ''));
    await go(page, 'reading');
    await page.fill('[name=azimuth]', '100');
    await page.selectOption('[name=north_reference]', 'magnetic');
    await page.waitForSelector('#sum');
    await go(page, 'notebook');
    await page.fill('.paste', readFileSync(join(root, 'tests/data/notes.csv'), 'utf8'));
    await page.waitForSelector('#run');
    await page.click('#run');
    await page.waitForSelector('#done');
    await go(page, 'instruments');
    await page.waitForSelector('.problem');
    await context.close();
  });

  await step('printed', async () => {
    const { context, page } = await open({ size: DESK });
    await lookUp(page, '42.283 -71.35', '2028-07-04');
    await page.waitForSelector('#declination');
    await page.emulateMedia({ media: 'print' });
    assert.ok(!(await page.isVisible('.tabs')) && (await page.isVisible('#set-to')));
    await page.pdf({ path: join(out, 'answer.pdf'), format: 'A5' });
    assert.ok(statSync(join(out, 'answer.pdf')).size > 5000 && existsSync(join(out, 'answer.pdf')));
    await context.close();
  });

  await step('what is loaded', async () => {
    const context = await browser.newContext({ viewport: PHONE, serviceWorkers: 'block' });
    const page = await context.newPage();
    const session = await context.newCDPSession(page);
    await session.send('Network.enable');
    const kinds = new Map();
    const sizes = {};
    session.on('Network.responseReceived', ({ requestId, response }) => kinds.set(requestId, response.url));
    session.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => { sizes[kinds.get(requestId)] = encodedDataLength; });
    await page.goto(service.origin);
    await page.waitForSelector('main h1', { state: 'attached' });
    for (const view of ['reading', 'notebook', 'instruments', 'fit', 'review', 'about']) await go(page, view);
    await page.waitForTimeout(500);
    const sum = (ending) => Object.entries(sizes).filter(([url]) => url?.split('?')[0].endsWith(ending)).reduce((all, [, size]) => all + size, 0);
    measured.script_bytes = sum('.js');
    // The scripts of all views together, as they travel; the model library comes beside them.
    assert.ok(measured.script_bytes > 0 && measured.script_bytes < 200_000, `${measured.script_bytes} bytes of script`);
    await context.close();
  });

  assert.ok(!/46\.5|42\.283|71\.35/.test(loggedBesidesTime()), 'no place in the log');
} finally {
  await browser.close();
  await service.stop();
}
writeFileSync(join(out, 'measured.json'), JSON.stringify(measured));
console.log(`page: ${stepsDone()} flows; ${JSON.stringify(measured)}`);
