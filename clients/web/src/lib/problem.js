// What is wrong and what to do, for a person.
import { h } from './dom.js';
import { language, words } from './language.js';
import table from '../words/problems.js';

/** @param problem {code, field, value, message, remedy}, or a problem document of the service */
export function problemBox(problem, more = []) {
  const w = words(table);
  const code = problem.code ?? problem.type?.split('/').pop() ?? '';
  const known = w(`code-${code}`);
  const message = problem.message ?? problem.detail ?? problem.title ?? '';
  const original = [message ? `${message[0].toUpperCase()}${message.slice(1)}` : '', problem.remedy].filter(Boolean).join('. ').replace(/\.\./g, '.');
  // The library speaks English; in other languages its words stand below a sentence of ours.
  return h('div', { class: 'problem', role: 'alert' },
    language() !== 'en' && known !== `code-${code}` ? h('p', { class: 'problem-what' }, known) : null,
    h('p', { class: language() === 'en' ? 'problem-what' : '', lang: 'en' }, original || w('unknown')),
    problem.value ? h('p', { class: 'problem-value' }, w('given'), ' ', h('q', {}, problem.value)) : null,
    more);
}
