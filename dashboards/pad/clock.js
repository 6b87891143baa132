const CLOSE_ENOUGH_MS = 1000;
let last = 0;

/** How far the server's clock is ahead of the phone's. */
export const skew = { ms: 0 };

/** Learns the skew from an answer's Date header, cut to whole seconds. */
export function observe(dateHeader, askedAt, answeredAt) {
  const seen = Date.parse(dateHeader) + 500 - (askedAt + answeredAt) / 2;
  if (Math.abs(seen - skew.ms) > CLOSE_ENOUGH_MS + (answeredAt - askedAt) / 2) skew.ms = Math.round(seen);
}

/** The server's time in Unix ms: the phone's own, where the two are close. */
export const nowMs = () => Date.now() + skew.ms;

/** Now, but later than every moment before: strikes keep their order whatever a clock does. */
export function moment() {
  last = Math.max(last + 1, nowMs());
  return last;
}
export const notBefore = (iso) => { last = Math.max(last, Date.parse(iso)); };

export const isoText = (ms) => new Date(ms).toISOString();
export const clockText = (when) => new Date(when).toLocaleTimeString([], { timeStyle: 'short', hourCycle: 'h23' });
