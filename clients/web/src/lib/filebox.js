// A place to paste into or drop a file onto.
import { h, unique } from './dom.js';

/** @param options {label, hint, choose, accept, take(text, name)}; take is also called while somebody types */
export function fileBox({ label, hint, choose, accept, take }) {
  const id = unique('paste');
  let timer;
  const area = h('textarea', {
    id, rows: '7', spellcheck: 'false', autocomplete: 'off', 'aria-describedby': `${id}-hint`, wrap: 'off', class: 'paste',
    oninput: () => { clearTimeout(timer); timer = setTimeout(() => take(area.value, ''), 300); },
  });
  const read = async (file) => {
    if (!file) return;
    const bytes = new Uint8Array(await file.arrayBuffer());
    let text;
    try { text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes); } catch { text = new TextDecoder('windows-1252').decode(bytes); }
    area.value = text.length > 20000 ? `${text.slice(0, 20000)}\n…` : text;
    take(text, file.name);
  };
  const pick = h('input', { type: 'file', class: 'file-input', id: `${id}-file`, accept, onchange: () => read(pick.files[0]) });
  const box = h('div', {
    class: 'filebox',
    ondragover: (event) => { event.preventDefault(); box.classList.add('over'); },
    ondragleave: () => box.classList.remove('over'),
    ondrop: (event) => { event.preventDefault(); box.classList.remove('over'); read(event.dataTransfer.files[0]); },
  }, h('label', { for: id }, label), area, h('p', { class: 'hint', id: `${id}-hint` }, hint),
  h('div', { class: 'buttons' }, h('label', { class: 'button file-label', for: `${id}-file` }, choose), pick));
  return { element: box, area, put: (text, name = '') => { area.value = text; take(text, name); } };
}
