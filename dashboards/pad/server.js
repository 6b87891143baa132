import { observe } from './clock.js';

const LONGEST_WAIT_MS = 10000;

/** The server said no: `status` is HTTP's, `message` the server's sentence. */
export class Refused extends Error {
  constructor(status, message) {
    super(message);
    this.status = status;
  }
}

/**
 * Asks for JSON; with a `body` it is a POST. Throws Refused for a no, and another error where there is no answer or
 * one that is not ours: the sign-in page of somebody's Wi-Fi is no promise that anything was stored.
 */
export async function ask(address, token, body) {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), LONGEST_WAIT_MS);
  try {
    const askedAt = Date.now();
    const response = await fetch(address, {
      method: body ? 'POST' : 'GET',
      headers: { Authorization: `Bearer ${token}`, 'Content-Type': 'application/json' },
      body: body && JSON.stringify(body),
      cache: 'no-store',
      credentials: 'omit',
      redirect: 'error',
      signal: patience.signal,
    });
    if (!response.headers.get('content-type')?.startsWith('application/json')) throw new Error('not our server');
    const answer = await response.json();
    observe(response.headers.get('date'), askedAt, Date.now());
    if (!response.ok) throw new Refused(response.status, answer.error);
    return answer;
  } finally {
    clearTimeout(timer);
  }
}
