// How many ms the server's clock is ahead of the phone's: between these two, narrowed by every answer.
let bounds = [-Infinity, Infinity];
let last = 0;

/** Learns from an answer's Date header (cut to whole seconds), and from when it was asked for and came. */
export function observe(dateHeader, askedAt, answeredAt) {
  const server = Date.parse(dateHeader);
  if (Number.isNaN(server)) return;
  const [low, high] = [server - answeredAt, server + 1000 - askedAt];
  // Bounds that exclude each other mean that somebody set a clock: then only the newest count.
  const agree = low <= bounds[1] && high >= bounds[0];
  bounds = agree ? [Math.max(low, bounds[0]), Math.min(high, bounds[1])] : [low, high];
}

/** What is known of the skew, to keep through a reload, and to take up again. */
export const knownBounds = () => bounds;
export const recallBounds = (kept) => { bounds = kept ?? bounds; };

/** The server's time in Unix ms: the phone's own, unless the two certainly differ. */
export function nowMs() {
  const isSame = bounds[0] <= 0 && bounds[1] >= 0;
  return Date.now() + (isSame ? 0 : Math.round((bounds[0] + bounds[1]) / 2));
}

/** Now in Unix ms, but later than every moment before: strikes keep their order whatever a clock does. */
export function moment() {
  last = Math.max(last + 1, nowMs());
  return last;
}
export const notBefore = (iso) => { last = Math.max(last, Date.parse(iso)); };

export const isoText = (ms) => new Date(ms).toISOString();
export const clockText = (when) => new Date(when).toLocaleTimeString([], { timeStyle: 'short', hourCycle: 'h23' });
