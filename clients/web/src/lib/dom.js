// Elements without a framework. Text is always text: nothing that came from a file or a call is read as markup.

const SVG = 'http://www.w3.org/2000/svg';

function fill(element, properties, children) {
  for (const [name, value] of Object.entries(properties ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
    else if (name === 'value' || name === 'checked' || name === 'disabled' || name === 'hidden') element[name] = value;
    else element.setAttribute(name, value === true ? '' : String(value));
  }
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** h('p', {class: 'note'}, 'text', otherElement) */
export const h = (tag, properties, ...children) => fill(document.createElement(tag), properties, children);
/** The same for drawings. */
export const s = (tag, properties, ...children) => fill(document.createElementNS(SVG, tag), properties, children);

export function replace(parent, ...children) {
  parent.replaceChildren(...children.flat(Infinity).filter(Boolean));
  return parent;
}

let numbers = 0;
/** A name no other element has. */
export const unique = (stem) => `${stem}-${++numbers}`;

/** A labelled field: {element, input}. `hint` stands below it and is read out with it. */
export function field(label, properties = {}, hint = '') {
  const id = unique('field');
  const { as = 'input', options, ...rest } = properties;
  const described = hint ? `${id}-hint` : undefined;
  const input = h(as, { id, 'aria-describedby': described, autocomplete: 'off', spellcheck: 'false', ...rest },
    ...(options ?? []).map(([value, text]) => h('option', { value, selected: value === rest.value }, text)));
  if (as === 'select' && rest.value !== undefined) input.value = rest.value;
  const element = h('div', { class: 'field' }, h('label', { for: id }, label), input,
    hint ? h('p', { class: 'hint', id: described }, hint) : null);
  return { element, input };
}

/** Waits until nothing more is typed. */
export function debounce(action, milliseconds = 220) {
  let timer;
  return (...given) => {
    clearTimeout(timer);
    timer = setTimeout(() => action(...given), milliseconds);
  };
}

/** Hands bytes to the person as a file. */
export function download(name, type, content) {
  const address = URL.createObjectURL(content instanceof Blob ? content : new Blob([content], { type }));
  const link = h('a', { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
