import { observe } from '/pad/clock.js';

const LONGEST_WAIT_MS = 10000;

/** The server answered, but not with what was asked for. `status` is HTTP's, `message` the server's sentence. */
export class Refused extends Error {
  constructor(status, message) {
    super(message);
    this.status = status;
  }
}

/**
 * Asks the server for JSON; `body` makes it a POST. Throws Refused for an answer that says no, and another error
 * where there is no answer, or one that is not ours: a Wi-Fi's sign-in page is no promise that anything was stored.
 */
export async function ask(address, token, body) {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), LONGEST_WAIT_MS);
  try {
    const askedAt = Date.now();
    const response = await fetch(address, {
      method: body ? 'POST' : 'GET',
      headers: { Authorization: `Bearer ${token}`, ...(body && { 'Content-Type': 'application/json' }) },
      body: body && JSON.stringify(body),
      cache: 'no-store',
      credentials: 'omit',
      redirect: 'error',
      signal: patience.signal,
    });
    const type = response.headers.get('content-type') ?? '';
    if (!type.startsWith('application/json')) throw new Error(`not our server's answer (${response.status})`);
    const answer = await response.json();
    observe(response.headers.get('date'), askedAt, Date.now());
    if (!response.ok) throw new Refused(response.status, answer.error ?? `the server said ${response.status}`);
    return answer;
  } finally {
    clearTimeout(timer);
  }
}
