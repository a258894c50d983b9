// Shows a document that the service or the model library made (a card, a report) within the page: in a tree of its own,
// with its own styles, without scripts, and fit to be printed.

const ACTIVE = 'script, iframe, object, embed, link, meta, base, form';

/** @param html a whole document @returns the element that holds it */
export function showDocument(host, html) {
  // Styles are taken out of the text: a parsed document answers to the page's rule against inline ones.
  let styles = '';
  const bare = html.replace(/<style[^>]*>([\s\S]*?)<\/style>/gi, (_, rules) => { styles += `${rules}\n`; return ''; });
  const parsed = new DOMParser().parseFromString(bare, 'text/html');
  for (const element of parsed.querySelectorAll(ACTIVE)) element.remove();
  for (const element of parsed.querySelectorAll('*'))
    for (const { name } of [...element.attributes]) if (/^on/i.test(name)) element.removeAttribute(name);
  const root = host.shadowRoot ?? host.attachShadow({ mode: 'open' });
  const sheet = new CSSStyleSheet();
  // The body of the document is an element of this tree; pages are the business of the page around it.
  sheet.replaceSync(styles.replace(/@page\s*[^{]*\{[^}]*\}/g, '').replace(/(^|[\s,}])(html|body|:root)(?=[\s,{])/g, '$1:host'));
  root.adoptedStyleSheets = [sheet];
  root.replaceChildren(...parsed.body.childNodes);
  host.setAttribute('lang', parsed.documentElement.lang || 'en');
  return host;
}
