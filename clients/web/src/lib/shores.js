// Outlines of land: rings of [lon, lat] in degrees, at two scales. Without them a map has its graticule still.
const kept = {};

/** @param scale 'coarse' for the world, 'fine' for a part of it */
export function shores(scale = 'coarse') {
  const address = __COASTLINES__[scale];
  if (!address) return Promise.resolve([]);
  kept[scale] ??= fetch(address).then((response) => (response.ok ? response.json() : [])).catch(() => []);
  return kept[scale];
}

/** What runs along the antimeridian or the south pole is the edge of the data and no coast. */
export const isEdge = ([lon, lat], [lonBefore, latBefore]) =>
  (Math.abs(lon) > 179.99 && Math.abs(lonBefore) > 179.99) || (lat < -89.99 && latBefore < -89.99);
