// What the card is for: the place at hand, or a route that was just worked out. Kept in memory, for this tab.
let route = null;

export const sheet = {
  /** @param what {type, body, query}: the stops as they were sent; null for the place at hand */
  of(what) { route = what; },
  get: () => route,
};
