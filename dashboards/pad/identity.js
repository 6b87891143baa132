let lastMs = 0;
let count = 0;

/**
 * A version 7 UUID of this moment in Unix milliseconds: ids sort in the order they were made.
 * Within one millisecond 12 bits count upwards (RFC 9562, sections 5.7 and 6.2). Needs no secure context.
 */
export function uuid7(ms) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  count = ms === lastMs ? count + 1 : ((bytes[6] & 0x07) << 8) | bytes[7];
  lastMs = ms;
  for (let place = 5, rest = ms; place >= 0; place -= 1, rest = Math.floor(rest / 256)) bytes[place] = rest % 256;
  bytes[6] = 0x70 | ((count >> 8) & 0x0f);
  bytes[7] = count & 0xff;
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}
