let [lastMs, count] = [0, 0];

/** A version 7 UUID (RFC 9562, 5.7); within one ms 12 bits count upwards (6.2). */
export function uuid7(ms) {
  const bytes = crypto.getRandomValues(new Uint8Array(16)); // unlike randomUUID also there on plain http
  count = ms === lastMs ? count + 1 : ((bytes[6] & 7) << 8) | bytes[7];
  lastMs = ms;
  new DataView(bytes.buffer).setBigUint64(0, (BigInt(ms) << 16n) | 0x7000n | BigInt(count));
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-');
}
