// Guesses which column of a notebook is which, by names people write. A guess is shown and can be changed; nothing is
// sent before that.

export const known = ['id', 'place', 'lat', 'lon', 'height_m', 'date', 'kind', 'azimuth', 'azimuth_unit', 'dip', 'rake', 'plunge', 'vertical_angle', 'vertical_unit',
  'plane_convention', 'north_reference', 'set_declination', 'applied_declination', 'applied_grid_magnetic', 'crs', 'target_crs', 'instrument', 'azimuth_index_error',
  'vertical_index_error', 'dip_index_error', 'graduation', 'reading_sigma', 'dip_sigma', 'backsight', 'site_declination', 'site_declination_sigma', 'target_date'];

const meant = {
  lat: ['latitude', 'breite', 'y_lat', 'lat_deg', 'latitud', 'breitengrad'],
  lon: ['longitude', 'long', 'lng', 'länge', 'laenge', 'lon_deg', 'längengrad'],
  place: ['location', 'position', 'coordinates', 'ort', 'koordinaten', 'utm', 'mgrs', 'grid_ref'],
  height_m: ['height', 'elevation', 'altitude', 'elev', 'höhe', 'hoehe', 'z'],
  date: ['datum', 'day', 'tag', 'date_taken', 'measured_on'],
  azimuth: ['bearing', 'azimut', 'strike', 'trend', 'heading', 'direction', 'richtung', 'streichen', 'dip_direction', 'dipdir', 'dip_dir', 'dip_azimuth', 'fallrichtung', 'course', 'az', 'reading'],
  dip: ['fallen', 'einfallen', 'dip_angle', 'neigung'],
  plunge: ['abtauchen', 'eintauchen'],
  rake: ['pitch'],
  vertical_angle: ['vertical', 'inclination', 'höhenwinkel', 'slope', 'clino'],
  north_reference: ['north', 'reference', 'nord', 'north_ref'],
  set_declination: ['declination_set', 'declination', 'eingestellt', 'dial'],
  instrument: ['compass', 'kompass', 'instrument_id'],
  backsight: ['back', 'rückblick'],
  id: ['name', 'nr', 'no', 'number', 'station', 'punkt', 'point'],
};

const plain = (name) => name.trim().toLowerCase().replace(/[\s-]+/g, '_').replace(/[().°]/g, '').replace(/_(deg|degrees|grad)$/, '');

/** @returns for each header name the column it is read as, '' for one that passes through */
export function guess(names) {
  const taken = new Set();
  const result = names.map((name) => {
    const exact = name.trim();
    if (known.includes(exact) && !taken.has(exact)) { taken.add(exact); return exact; }
    return null;
  });
  names.forEach((name, i) => {
    if (result[i] !== null) return;
    const word = plain(name);
    const found = known.includes(word) ? word : Object.entries(meant).find(([, words]) => words.includes(word))?.[0];
    if (found && !taken.has(found)) { taken.add(found); result[i] = found; } else result[i] = '';
  });
  return result;
}

/** What must still be asked, given the columns and a few rows as objects under their read names. */
export function missing(columns, rows) {
  const has = (name) => columns.includes(name);
  const filled = (name) => rows.length === 0 ? has(name) : rows.every((row) => (row[name] ?? '') !== '');
  const some = (name) => rows.some((row) => (row[name] ?? '') !== '');
  const asked = [];
  if (!filled('place') && !(filled('lat') && filled('lon'))) asked.push('place');
  if (!filled('date')) asked.push('date');
  if (!filled('north_reference')) asked.push('north_reference');
  const circle = !has('north_reference') || rows.some((row) => !row.north_reference || row.north_reference === 'circle');
  if (circle && !filled('set_declination') && !has('instrument')) asked.push('set_declination');
  if (some('dip') && rows.some((row) => row.dip && !row.plane_convention)) asked.push('plane_convention');
  if (rows.some((row) => /^\d{1,2}[./-]\d{1,2}[./-]\d{2,4}$/.test((row.date ?? '').trim()))) asked.push('date_order');
  if (rows.some((row) => row.north_reference === 'grid' && !row.crs)) asked.push('crs');
  return asked;
}
