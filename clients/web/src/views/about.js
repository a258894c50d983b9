// The models at hand and whether they reproduce what was published.
import { h, replace } from '../lib/dom.js';
import { words } from '../lib/language.js';
import { call } from '../lib/model.js';
import table from '../words/about.js';

export default function aboutView(main) {
  const w = words(table);
  const list = h('div', {}, h('p', { role: 'status' }, w('loading')));
  main.append(h('p', {}, w('intro')), list,
    h('section', { class: 'panel' }, h('h2', {}, w('offline')), h('p', {}, w('offline-more'))));
  call('models').then((answer) => {
    replace(list,
      h('p', { class: answer.selftest_passed ? 'good' : 'bad', role: 'status' }, w(answer.selftest_passed ? 'passed' : 'failed')),
      answer.models.map((model) => h('section', { class: 'panel' },
        h('h2', {}, model.title), h('p', {}, h('strong', {}, model.id), ` · ${model.valid_from} – ${model.valid_to} · ${w('degree')} ${model.degree}`),
        h('p', { lang: 'en' }, `${w('source')}: ${model.source}`, model.doi ? ` · doi:${model.doi}` : '', ` · ${model.licence}`))),
      h('details', {}, h('summary', {}, w('checks')), h('ul', {}, answer.selftest.map((row) => h('li', { lang: 'en' }, w('row', row))))));
  });
}
