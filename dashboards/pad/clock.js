// How far the server's clock is ahead of this phone's, in ms: between these two, narrowed by every answer.
let bounds = [-Infinity, Infinity];
let last = 0;

/** Learns from an answer's Date header (whole seconds, cut off) when it was asked for and when it came. */
export function observe(dateHeader, askedAt, answeredAt) {
  const server = Date.parse(dateHeader ?? '');
  if (Number.isNaN(server)) return;
  const [low, high] = [server - answeredAt, server + 1000 - askedAt];
  // Bounds that contradict each other mean that somebody set a clock: then only the newest count.
  const agree = low <= bounds[1] && high >= bounds[0];
  bounds = agree ? [Math.max(low, bounds[0]), Math.min(high, bounds[1])] : [low, high];
}

/** Milliseconds to add to the phone's time; 0 while the two clocks may be the same. */
export function skewMs() {
  return bounds[0] <= 0 && bounds[1] >= 0 ? 0 : Math.round((bounds[0] + bounds[1]) / 2);
}

/** What is known of the skew, to keep through a reload. */
export const knownBounds = () => (Number.isFinite(bounds[0]) ? bounds : null);

/** Takes up what was known before the reload. */
export function recallBounds(kept) {
  if (kept) bounds = kept;
}

/** Times of strikes never go back: the next moment is after this one. */
export function notBefore(ms) {
  last = Math.max(last, ms);
}

/** Now: `ms` corrected to the server's clock and later than any moment before, `phoneMs` as the phone says. */
export function moment() {
  const phoneMs = Date.now();
  last = Math.max(last + 1, phoneMs + skewMs());
  return { ms: last, phoneMs };
}

/** The corrected time, without making a moment of it. */
export const nowMs = () => Date.now() + skewMs();

/** Hours and minutes, with `seconds` too if asked, as this phone writes them. */
export function clockText(when, { seconds = false } = {}) {
  const parts = { hour: '2-digit', minute: '2-digit', ...(seconds && { second: '2-digit' }) };
  return new Date(when).toLocaleTimeString([], parts);
}
