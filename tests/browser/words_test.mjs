// Every table of words has the same keys and the same values to fill in, in every language; and no view names a key
// that no table has.
//
//   node words_test.mjs ROOT
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const source = join(process.argv[2], 'clients/web/src');
const holes = (text) => [...text.matchAll(/\{(\w+)\}/g)].map(([, name]) => name).sort();
let tables = 0;
for (const file of readdirSync(join(source, 'words')).filter((name) => name.endsWith('.js'))) {
  const { default: table } = await import(pathToFileURL(join(source, 'words', file)));
  assert.deepEqual(Object.keys(table).sort(), ['de', 'en'], file);
  assert.deepEqual(Object.keys(table.de).sort(), Object.keys(table.en).sort(), `${file}: the languages have different keys`);
  for (const [key, text] of Object.entries(table.en)) {
    assert.notEqual(table.de[key].trim(), '', `${file}: ${key} is empty`);
    assert.deepEqual(holes(table.de[key]), holes(text), `${file}: ${key} fills in different values`);
  }
  tables += 1;
  const view = join(source, 'views', file);
  let code = '';
  try { code = readFileSync(view, 'utf8'); } catch { continue; }
  for (const [, key] of code.matchAll(/\bw\('([^']+)'/g)) assert.ok(key in table.en, `${file}: no words for ${key}`);
}
assert.ok(tables >= 4);
console.log(`words: ${tables} tables agree in English and German`);
