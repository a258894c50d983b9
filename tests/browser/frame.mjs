// What the tests in a browser share: a service and a browser of their own, contexts that note every request and every
// fault, and the looks at a page (axe-core, sizes of targets, its width).
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { startService } from './service.mjs';

export const [root, program, tools, out] = process.argv.slice(2);
const need = createRequire(join(tools, 'package.json'));
const { chromium } = need('playwright-core');
const axe = readFileSync(need.resolve('axe-core/axe.min.js'), 'utf8');
mkdirSync(out, { recursive: true });

export const PHONE = { width: 360, height: 740 };
export const DESK = { width: 1280, height: 860 };
export const service = await startService(program);
export const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu'] });
// The log without the instants: 46.5 may be seconds there.
export const loggedBesidesTime = () => service.log().split('\n').slice(0, -1).map((line) => {
  const { time, ...rest } = JSON.parse(line);
  assert.match(time, /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/);
  return JSON.stringify(rest);
}).join('\n');
let steps = 0;
export const stepsDone = () => steps;
export const measured = {};

// ONLY=words: the steps that have them in their name, while working on one.
export async function step(what, action) {
  if (process.env.ONLY && !what.includes(process.env.ONLY)) return;
  const begun = Date.now();
  try {
    await action();
    steps += 1;
    console.log(`  ${what}: ${((Date.now() - begun) / 1000).toFixed(1)} s`);
  } catch (error) {
    console.error(`FAIL ${what}`);
    throw error;
  }
}

// A context in which every request is noted, and every message of the page is a failure.
export async function open({ size = PHONE, workers = 'block', locale = 'en', ...more } = {}, preferences = {}) {
  const context = await browser.newContext({ viewport: size, serviceWorkers: workers, locale, acceptDownloads: true, ...more });
  const page = await context.newPage();
  page.setDefaultTimeout(20000);
  const faults = [];
  const asked = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => { if (message.type() === 'error') faults.push(message.text()); });
  page.on('request', (request) => asked.push(request.url()));
  if (Object.keys(preferences).length) await page.addInitScript((all) => localStorage.setItem('agonic-preferences', JSON.stringify(all)), preferences);
  await page.goto(service.origin);
  await page.waitForSelector('main h1', { state: 'attached' });
  return { context, page, faults, asked };
}
export const go = async (page, view) => {
  await page.evaluate((name) => { location.hash = `#/${name}`; }, view);
  await page.waitForSelector(`main.view-${view}`);
};
export async function lookUp(page, place, date) {
  await page.fill('[name=place]', place);
  await page.fill('[name=date]', date);
}
export const textOf = async (page, selector) => (await page.textContent(selector)).replace(/\s+/g, ' ').trim();
export async function accessible(page, what, coloursOnly = false) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate((colours) => axe.run(document, colours ? { runOnly: ['color-contrast', 'color-contrast-enhanced'] } : {
    runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice'] },
    // 7:1, for sunlight.
    rules: { 'color-contrast-enhanced': { enabled: true }, 'target-size': { enabled: true } },
  }), coloursOnly);
  assert.deepEqual(violations.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.target.join(' ')).slice(0, 4).join(', ')}`), [], what);
}
// Targets of 48 pixels; a link within a sentence, and a box in its label, are not aimed at by themselves.
export async function targets(page, what) {
  const small = await page.$$eval('button, input:not([type=checkbox]):not([type=file]), select, textarea, summary, nav a, .mark, label.button, .check label', (all) => all
    .map((one) => [one, one.getBoundingClientRect()]).filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5)).map(([one, box]) => `${one.outerHTML.slice(0, 60)} ${box.width}x${box.height}`));
  assert.deepEqual(small, [], what);
}
export const fits = async (page, what) => assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth + 1), `${what}: wider than the screen`);
export const shot = (page, name) => page.screenshot({ path: join(out, `${name}.png`), fullPage: true });
