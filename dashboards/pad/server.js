import { observe } from './clock.js';

const LONGEST_WAIT_MS = 10000;

/** Asks for JSON. Throws the server's `status` and sentence; no status where no answer came, or not ours. */
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
    if (!response.ok) throw Object.assign(new Error(answer.error), { status: response.status });
    return answer;
  } finally {
    clearTimeout(timer);
  }
}
