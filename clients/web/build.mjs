// Bundles the page and writes it, packed, as one C++ source that holds all of its files.
//
//   node build.mjs OUT WASM COEFFICIENTS VERSION
//
// Files whose name carries their hash never change; the rest is asked for again on every visit. Everything the page
// needs without a network stands in the list of the service worker.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import { createRequire } from 'node:module';

const [out, wasm, coefficients, version] = process.argv.slice(2);
const source = resolve(import.meta.dirname ?? new URL('.', import.meta.url).pathname);
// esbuild stands in the build folder, where npm put it: the sources stay as they are.
const esbuild = createRequire(join(resolve(out), 'package.json'))('esbuild');

const hash = (bytes) => createHash('sha256').update(bytes).digest('hex');
const assets = [];
function add(path, type, bytes, immutable) {
  assets.push({ path, type, bytes: Buffer.from(bytes), immutable });
  return path;
}
function addHashed(name, type, bytes) {
  const dot = name.lastIndexOf('.');
  return add(`/assets/${name.slice(0, dot)}-${hash(bytes).slice(0, 12)}${name.slice(dot)}`, type, bytes, true);
}

const module = addHashed('agonic.wasm', 'application/wasm', readFileSync(wasm));

// One file a model: the texts of its folder. The first ones answer for today; the others follow.
const models = {};
for (const id of ['wmm2025', 'igrf14', 'gufm1', 'wmmhr2025']) {
  const folder = join(coefficients, id);
  const text = (name) => (existsSync(join(folder, `${name}.txt`)) ? readFileSync(join(folder, `${name}.txt`), 'utf8') : '');
  const model = { id };
  for (const name of ['table', 'about', 'check_values', 'poles', 'dip_poles']) model[name] = text(name);
  models[id] = addHashed(`${id}.json`, 'application/json', JSON.stringify(model));
}

// Shores at one scale (coefficients/coastline/about.txt): closed rings of [lon, lat].
function outlines(text, scale) {
  const rings = [];
  let left = 0;
  for (const line of text.split('\n').filter((one) => one && !one.startsWith('#'))) {
    const [first, name, count] = line.split(' ');
    if (first === 'scale') left = name === scale ? Number(count) : 0;
    else if (left > 0) {
      const steps = line.split(' ').map(Number);
      let [lon, lat] = [0, 0];
      const ring = [];
      for (let i = 0; i < steps.length; i += 2) {
        lon += steps[i];
        lat += steps[i + 1];
        ring.push([lon / 100, lat / 100]);
      }
      ring.push(ring[0]);
      rings.push(ring);
      left -= 1;
    }
  }
  if (rings.length < 100) throw new Error('coastline.txt: the outlines are not there');
  return rings;
}
const shores = readFileSync(join(coefficients, 'coastline', 'coastline.txt'), 'utf8');
const coastlines = Object.fromEntries([['coarse', '110m'], ['fine', '50m']].map(([use, scale]) =>
  [use, addHashed(`coastline-${scale}.json`, 'application/json', JSON.stringify(outlines(shores, scale)))]));

const common = { bundle: true, minify: true, write: false, charset: 'utf8', legalComments: 'none', logLevel: 'warning' };
const define = {
  __VERSION__: JSON.stringify(version),
  __WASM__: JSON.stringify(module),
  __MODELS__: JSON.stringify(models),
  __COASTLINE__: JSON.stringify(coastlines.coarse),
  __COASTLINES__: JSON.stringify(coastlines),
};
// A worker in one piece: modules in workers are younger than the browsers served.
const beside = esbuild.buildSync({ ...common, entryPoints: [join(source, 'src/worker.js')], format: 'iife', target: ['es2020'], define });
define.__WORKER__ = JSON.stringify(addHashed('worker.js', 'text/javascript; charset=utf-8', beside.outputFiles[0].contents));
const bundled = esbuild.buildSync({
  ...common,
  entryPoints: [join(source, 'src/main.js'), join(source, 'src/style.css')],
  splitting: true,
  format: 'esm',
  target: ['es2020', 'safari14', 'firefox90', 'chrome90'],
  outdir: '/assets',
  entryNames: '[name]-[hash]',
  chunkNames: 'part-[hash]',
  define,
  metafile: true,
  external: ['/assets/*'],
});
const named = {};
for (const file of bundled.outputFiles) {
  const path = add(file.path, file.path.endsWith('.css') ? 'text/css; charset=utf-8' : 'text/javascript; charset=utf-8', file.contents, true);
  const entry = Object.entries(bundled.metafile.outputs).find(([name]) => name.endsWith(path))?.[1].entryPoint;
  if (entry) named[entry.split('/').pop()] = path;
}

const icon = addHashed('icon.svg', 'image/svg+xml', readFileSync(join(source, 'src/icon.svg')));
const manifest = JSON.stringify({
  name: 'agonic', short_name: 'agonic', start_url: '/', display: 'standalone',
  background_color: '#f4efe3', theme_color: '#12343b',
  icons: [{ src: icon, sizes: 'any', type: 'image/svg+xml', purpose: 'any' }],
});
add('/manifest.webmanifest', 'application/manifest+json', manifest, false);
if (!named['main.js'] || !named['style.css']) throw new Error('the bundle has no entry');
const page = readFileSync(join(source, 'src/index.html'), 'utf8')
  .replace('{script}', named['main.js']).replace('{style}', named['style.css']).replaceAll('{icon}', icon);
add('/', 'text/html; charset=utf-8', page, false);

// The service worker asks for everything of this build at its first visit, and answers from it ever after.
const keep = assets.map(({ path }) => path);
const build = hash(assets.map(({ bytes }) => hash(bytes)).join('')).slice(0, 16);
const worker = esbuild.buildSync({
  entryPoints: [join(source, 'src/service-worker.js')], ...common, format: 'iife',
  target: ['es2020'], define: { __BUILD__: JSON.stringify(build), __KEEP__: JSON.stringify(keep) },
});
add('/service-worker.js', 'text/javascript; charset=utf-8', worker.outputFiles[0].contents, false);

const folder = join(out, 'packed');
rmSync(folder, { recursive: true, force: true });
mkdirSync(folder, { recursive: true });
const rows = [];
const blobs = [];
let total = 0;
assets.forEach(({ path, type, bytes, immutable }, i) => {
  const packed = {
    plain: bytes,
    gzip: gzipSync(bytes, { level: 9 }),
    brotli: brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: 11, [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length } }),
  };
  for (const [kind, content] of Object.entries(packed)) {
    const file = join(folder, `${i}.${kind}`);
    writeFileSync(file, content);
    blobs.push(`asm(".section .rodata\\n.balign 16\\n.global agonic_page_${i}_${kind}\\n.type agonic_page_${i}_${kind}, STT_OBJECT\\nagonic_page_${i}_${kind}:\\n.incbin \\"${file}\\"\\n.byte 0\\n.text\\n");\nextern "C" const char agonic_page_${i}_${kind}[];`);
  }
  const view = (kind) => `{agonic_page_${i}_${kind}, ${packed[kind].length}}`;
  rows.push(`    PageAsset{"${path}", "${type}", "\\"${hash(bytes).slice(0, 32)}\\"", ${immutable}, ${view('plain')}, ${view('gzip')}, ${view('brotli')}},`);
  total += packed.brotli.length;
});
writeFileSync(join(out, 'page_assets.cpp'), `// Written by clients/web/build.mjs; not edited by hand.
#include <array>

#include "server/page_assets.hpp"

${blobs.join('\n')}

namespace agonic::server {
std::span<const PageAsset> page_assets() noexcept {
  static const std::array<PageAsset, ${rows.length}> all{
${rows.join('\n')}
  };
  return all;
}
}  // namespace agonic::server
`);
writeFileSync(join(out, 'sizes.json'), JSON.stringify(assets.map(({ path, bytes }) => ({ path, bytes: bytes.length, gzip: gzipSync(bytes).length }))));
console.log(`page: ${assets.length} files, ${Math.round(total / 1024)} KiB packed`);
