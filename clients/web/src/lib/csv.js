// CSV for looking at: the work itself is done by the model library or the service, on the bytes as they came.

/** The delimiter of a header line: the one that stands there most often. */
export function delimiterOf(text) {
  const head = text.replace(/^\uFEFF/, '').split(/\r?\n|\r/, 1)[0];
  return [',', ';', '\t'].map((mark) => [mark, head.split(mark).length]).sort((a, b) => b[1] - a[1])[0][0];
}

/** RFC 4180: rows of cells, quotes taken off; at most `most` rows. */
export function parse(text, delimiter = delimiterOf(text), most = Infinity) {
  const rows = [];
  let row = [];
  let cell = '';
  let quoted = false;
  const body = text.replace(/^\uFEFF/, '');
  const endRow = () => {
    row.push(cell);
    cell = '';
    if (row.length > 1 || row[0] !== '') rows.push(row);
    row = [];
  };
  for (let i = 0; i < body.length && rows.length < most; i += 1) {
    const c = body[i];
    if (quoted) {
      if (c !== '"') cell += c;
      else if (body[i + 1] === '"') { cell += '"'; i += 1; } else quoted = false;
    } else if (c === '"' && cell === '') quoted = true;
    else if (c === delimiter) { row.push(cell); cell = ''; }
    else if (c === '\n' || c === '\r') {
      if (c === '\r' && body[i + 1] === '\n') i += 1;
      endRow();
    } else cell += c;
  }
  if (rows.length < most && (cell !== '' || row.length > 0)) endRow();
  return rows;
}

/** Objects by the names of the first row. */
export function records(text, delimiter) {
  const [names, ...rows] = parse(text, delimiter);
  return rows.map((cells) => Object.fromEntries((names ?? []).map((name, i) => [name, cells[i] ?? ''])));
}
