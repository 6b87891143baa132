// Kept before it counts, sent until the server has it, never twice. A record has a `kind` (strikes, corrections,
// turns), an `id` (a correction that of its strike), and a `state`.

import { isoText, moment, notBefore, nowMs, skew } from './clock.js';
import { ask } from './server.js';
import * as storage from './storage.js';

const MOST_A_CALL = 100;
const [SHORTEST_PAUSE_MS, LONGEST_PAUSE_MS, LEASE_MS] = [300, 5000, 15000];
const NAME = 'strike-ladder-pad';

const tab = String(Math.random());
const channel = new BroadcastChannel(NAME);
const records = new Map();
let writes = Promise.resolve('');
let inOrder = null;
let hear = () => {};

/** Why sending fails, when it last went well, why a tap was not kept. */
export const delivery = { trouble: null, lost: '' };

export const listen = (listener) => { hear = listener; };
export const changed = () => hear();

export const select = (test) => [...records.values()].filter(test);
const strikeOf = ({ id }) => records.get(`strikes/${id}`);
export const correctionOf = ({ id }) => records.get(`corrections/${id}`);

/** The strikes nobody took back, in the order struck. */
export function notVoid() {
  inOrder ??= select((one) => one.kind === 'strikes' && !correctionOf(one))
    .sort((one, other) => (one.struck_at + one.id < other.struck_at + other.id ? -1 : 1));
  return inOrder;
}

export const rejected = () => select(({ state }) => state === 'rejected');
const isDue = (one) => one.state === 'waiting' && (one.kind === 'strikes' || strikeOf(one)?.state !== 'rejected');
export const waitingCount = () => select(isDue).length;

function merge(changed) {
  for (const record of changed) {
    const key = `${record.kind}/${record.id}`;
    // What the server has it has, in whichever order two tabs hear of it.
    if (records.get(key)?.state !== 'stored') records.set(key, record);
    notBefore(record.struck_at ?? record.at);
  }
  inOrder = null;
  hear();
}

const keyOf = ({ kind, id, state }) => `${kind}/${state}/${id}`;

async function commit(changed, durability, more = []) {
  const before = changed.map(({ kind, id }) => records.get(`${kind}/${id}`)).filter(Boolean);
  const entries = [...before.map((one) => [keyOf(one)]), ...changed.map((one) => [keyOf(one), one]), ...more];
  await storage.write(entries, durability);
  merge(changed);
  channel.postMessage(changed);
}

async function reread() {
  merge((await Promise.all(['strikes/', 'corrections/', 'turns/'].map(storage.readAll))).flat());
}

export async function load() {
  await reread();
  channel.onmessage = ({ data }) => merge(data);
}

/** Keeps the records of `make()`, all or none; gives whether they count. */
export async function keep(make) {
  writes = writes.then(() => commit(make())).then(() => '', (error) => error.message);
  const lost = await writes;
  if (lost !== delivery.lost) {
    delivery.lost = lost;
    hear();
  }
  if (!lost && !delivery.trouble) send();
  return !lost;
}

export function correctionsOf(strikes, why) {
  const at = isoText(moment());
  return strikes.map(({ id, token }) => ({ kind: 'corrections', id, why, at, token, state: 'waiting' }));
}

let [running, timer, pause] = [false, 0, SHORTEST_PAUSE_MS];
let newest = {};
const refusedTokens = new Set();

/** Starts sending. `pass` is the newest { practice, token }, for what an older one cannot bring. */
export function start(pass) {
  newest = pass;
  addEventListener('online', retry);
  document.addEventListener('visibilitychange', () => document.hidden || retry());
  retry();
}

function retry() {
  refusedTokens.clear();
  pause = SHORTEST_PAUSE_MS;
  send();
}

async function send() {
  if (running) return;
  running = true;
  clearTimeout(timer);
  let sent = 'more';
  while (sent === 'more') sent = await exclusively(sendBatch).catch(() => 'later');
  // Kept after the last look, or sent by a tab this one did not hear.
  if (sent === 'done' && waitingCount()) await reread();
  running = false;
  if (sent === 'done' && !waitingCount()) return;
  timer = setTimeout(send, Math.max(SHORTEST_PAUSE_MS, pause * (0.75 + Math.random() / 4)));
  if (sent === 'later') pause = Math.min(pause * 2, LONGEST_PAUSE_MS);
}

/** Runs `work` in one tab at a time: under a web lock, or a lease where plain http has none. */
async function exclusively(work) {
  if (navigator.locks) return navigator.locks.request(NAME, work);
  if (!(await storage.lease(tab, Date.now() + LEASE_MS))) return 'later';
  return work().finally(() => storage.write([['lease']], 'relaxed'));
}

/** Sends one call's worth. Gives 'more', 'done', or 'later' if it did not get through. */
async function sendBatch() {
  const mayTry = ({ token }) => !refusedTokens.has(token);
  const strikes = await storage.readAll('strikes/waiting/');
  if (strikes.some(mayTry)) return deliver('strikes', strikes.filter(mayTry));
  const corrections = (await storage.readAll('corrections/waiting/')).filter(isDue);
  const due = corrections.filter((one) => mayTry(one) && strikeOf(one)?.state !== 'waiting');
  if (due.length) return deliver('corrections', due);
  return strikes.length || corrections.length ? 'later' : 'done';
}

async function deliver(name, waiting) {
  const { token } = waiting[0];
  const batch = waiting.filter((record) => record.token === token).slice(0, MOST_A_CALL);
  try {
    const answer = await ask(`/api/${name}`, token, {
      [name]: batch.map(({ id, kind, state, token: pass, turn, ...facts }) => ({ strike_id: id, ...facts })),
    });
    const there = new Set([...answer.stored, ...answer.already_there]);
    const reasons = new Map(answer.rejected.map(({ strike_id, why }) => [strike_id, why]));
    const stored_at = isoText(nowMs());
    const changed = batch.flatMap((one) => (there.has(one.id) ? { ...one, state: 'stored', stored_at }
      : reasons.has(one.id) ? { ...one, state: 'rejected', why: reasons.get(one.id) } : []));
    Object.assign(delivery, { trouble: null, at: stored_at });
    pause = SHORTEST_PAUSE_MS;
    // Need not be flushed: were it lost, they would be sent again, and be there.
    await commit(changed, 'relaxed', [['skew', skew]]);
    return changed.length ? 'more' : 'later';
  } catch (error) {
    if (error.status === 401 && batch.some((record) => renewed(record).token !== token)) {
      await commit(batch.map(renewed));
      return 'more';
    }
    if (error.status < 500) refusedTokens.add(token); // 5xx: ask again
    delivery.trouble = error.status ? error.message : 'no connection';
    hear();
    return 'later';
  }
}

const practiceOf = (record) => (strikeOf(record) ?? record).practice;
const renewed = (record) => (practiceOf(record) === newest.practice ? { ...record, token: newest.token } : record);

export async function offerAgain() {
  await commit(rejected().map((record) => ({ ...renewed(record), state: 'waiting' })));
  retry();
}

export async function forgetOthers(practice) {
  if (waitingCount()) return;
  const gone = select((one) => practiceOf(one) !== practice && one.state !== 'rejected');
  await storage.write(gone.map((one) => [keyOf(one)]));
  for (const { kind, id } of gone) records.delete(`${kind}/${id}`);
  inOrder = null;
}
