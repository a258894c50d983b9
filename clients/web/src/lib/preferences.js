// How a person likes the page: language, theme, the circle of the compass. Never a place, never a key.
const NAME = 'agonic-preferences';

function read() {
  try {
    return JSON.parse(localStorage.getItem(NAME)) ?? {};
  } catch {
    return {};
  }
}

export const preferences = {
  get: (name) => read()[name],
  set(name, value) {
    try {
      localStorage.setItem(NAME, JSON.stringify({ ...read(), [name]: value }));
    } catch { /* A browser that keeps nothing is no reason to stop. */ }
  },
};
