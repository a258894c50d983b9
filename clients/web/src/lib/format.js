// Numbers as people read them. A minus is written as such, and never stands before a zero.

export function fixed(value, decimals = 2) {
  const text = Number(value).toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

/** 0 to 360 as three figures: 014, 346, 005.5 */
export function azimuth(value, decimals = 0) {
  let turned = ((value % 360) + 360) % 360;
  let text = fixed(turned, decimals);
  if (Number(text) >= 360) text = fixed(0, decimals);
  const [whole, rest] = text.split('.');
  return whole.padStart(3, '0') + (rest ? `.${rest}` : '');
}

/** {size: '13.69°', side: 'W', signed: '(-13.69)'} */
export function declination(value, decimals = 2) {
  const signed = fixed(value, decimals);
  const size = signed.replace('-', '');
  const side = Number(size) === 0 ? '' : value < 0 ? 'W' : 'E';
  return { size: `${size}°`, side, signed: `(${Number(size) === 0 || value < 0 ? '' : '+'}${signed})` };
}

/** "13.69° W (-13.69)" */
export function declinationText(value, decimals = 2) {
  const { size, side, signed } = declination(value, decimals);
  return side ? `${size} ${side} ${signed}` : `${size} ${signed}`;
}

/** Enough decimals for a multiple of the graduation. */
export const decimalsOf = (graduation) => [0, 1, 2].find((d) => Math.abs(graduation * 10 ** d - Math.round(graduation * 10 ** d)) < 1e-9) ?? 3;
