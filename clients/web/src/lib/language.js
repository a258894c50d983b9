// Words by key. Each view brings a table {en: {...}, de: {...}}; a test holds the languages to the same keys.
import { preferences } from './preferences.js';

export const languages = [['en', 'English'], ['de', 'Deutsch']];

export function language() {
  const chosen = preferences.get('language');
  if (languages.some(([code]) => code === chosen)) return chosen;
  return navigator.language?.toLowerCase().startsWith('de') ? 'de' : 'en';
}

/**
 * The reader of one table: w('key', {name: value}) puts values where {name} stands.
 * A missing key is a bug and shows as the key.
 */
export function words(table) {
  return (key, values = {}) => {
    const text = table[language()]?.[key] ?? table.en[key] ?? key;
    return text.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
  };
}
