// The model library of the page (WebAssembly) answers as the service does: to 1e-9 degree in every angle, to the letter
// in every text, at places and dates all over, poles and seams included.
//
//   node agreement_test.mjs ROOT AGONICD WASM
import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { startService } from './service.mjs';

const [root, program, wasm] = process.argv.slice(2);
const { Library } = await import(pathToFileURL(join(root, 'clients/web/src/lib/library.js')));
const library = await Library.create(readFileSync(wasm));
const text = (id, name) => {
  const file = join(root, 'coefficients', id, `${name}.txt`);
  return existsSync(file) ? readFileSync(file, 'utf8') : '';
};
const models = ['wmm2025', 'wmmhr2025', 'igrf14', 'gufm1'].map((id) => ({
  id, ...Object.fromEntries(['table', 'about', 'check_values', 'poles', 'dip_poles'].map((name) => [name, text(id, name)])),
}));
library.call('load', { models });
const today = new Date().toISOString().slice(0, 10);

const ANGLE = 1e-9;
const ANGLES_LIKE = /_deg(_|$)|azimuth|declination|convergence|correction|dip|plunge|decimal_year|error/;
function same(mine, theirs, where) {
  assert.deepEqual(Object.keys(mine).sort(), Object.keys(theirs).sort(), where);
  for (const [name, value] of Object.entries(theirs)) {
    const here = `${where}: ${name}`;
    if (typeof value !== 'number') assert.deepEqual(mine[name], value, here);
    else {
      // Intensities have 60000 nT where angles have 90 degrees; a tilt error grows without end where the needle hangs.
      const limit = name.endsWith('_nt') || name.endsWith('_nt_per_year') ? 1e-6 : name.startsWith('tilt') ? 1e-6 * Math.max(1, value) : ANGLES_LIKE.test(name) ? ANGLE : 1e-9;
      assert.ok(Math.abs(mine[name] - value) <= limit, `${here}: ${mine[name]} and ${value}`);
    }
  }
}

const service = await startService(program);
let compared = 0;
try {
  const ask = async (path, body) => (await fetch(service.origin + path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) })).json();
  const places = ['42.283 -71.35', '-33.9 151.2', '0 0', '89.999 45', '-89.5 -170', '64 -21', '60.4N 5.3E', '78.2 15.6', '32UMA6134481745', '18 north 585628 4511322',
    'UPS N 2100000 1900000', '12.3456 179.9999', '-54.8 -68.3', '35.7 139.7', '0.0001 -90', '83.9 -30', '-79.99 100', '46°30\'N 7°15\'E'];
  const dates = ['1590-06-01', '1725', '1899.9', '1900.0', '1946-02-28', '2008-07-04', '2019-12-31', '2024.9', '2025.0', '2026-11-27', '2029.9'];
  for (const place of places) {
    for (const date of dates) {
      for (const name of ['declination', 'setting']) {
        const parameters = { place, date, height_m: '350' };
        const mine = library.call(name, { today, parameters });
        const theirs = await ask(`/v1/${name}`, parameters);
        if (theirs.detail) {
          assert.equal(mine.problem?.code, theirs.type.split('/').pop(), `${name} ${place} ${date}`);
          continue;
        }
        same(mine, theirs, `${name} ${place} ${date}`);
        compared += 1;
      }
    }
  }
  // What is refused is refused in the same words.
  for (const parameters of [{ place: '18S 585628 4511322', date: '2026' }, { place: '91 0', date: '2026' }, { place: '46O 7', date: '2026' }, { place: '46 7', date: '03/04/2005' }, { place: '46 7', date: '2031' }, { place: '46 7' }]) {
    const mine = library.call('declination', { today, parameters });
    const theirs = await ask('/v1/declination', parameters);
    assert.ok(mine.problem && theirs.detail, JSON.stringify(parameters));
    assert.equal(mine.problem.code, theirs.type.split('/').pop());
    assert.equal(mine.problem.remedy.replace(/\.$/, ''), (theirs.remedy ?? '').replace(/\.$/, ''));
  }
  // A notebook comes back byte for byte the same.
  const csv = readFileSync(join(root, 'tests/data/notes.csv'), 'utf8');
  const mine = library.call('notebook', { today, csv, parameters: {} });
  const theirs = await (await fetch(`${service.origin}/v1/correct`, { method: 'POST', headers: { 'Content-Type': 'text/csv' }, body: csv })).text();
  assert.equal(mine.csv, theirs);
  assert.deepEqual([mine.summary.corrected, mine.summary.unchanged, mine.summary.refused], [11, 1, 2]);
} finally {
  await service.stop();
}
assert.ok(compared > 300);
console.log(`agreement: ${compared} answers of the page and the service agree to ${ANGLE} degree`);
