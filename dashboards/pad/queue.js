// What was logged on this phone: kept before it counts, sent until the server has it, never twice.
// A record has a `kind` (strikes, corrections, turns), an `id`, and a `state`: waiting, stored, rejected with `why`, or
// local, as turns are. A correction has the id of its strike.

import { isoText, knownBounds, moment, notBefore, nowMs } from './clock.js';
import { ask, Refused } from './server.js';
import * as storage from './storage.js';

const MOST_A_CALL = 100;
const [SHORTEST_PAUSE_MS, LONGEST_PAUSE_MS, REFUSED_PAUSE_MS, LEASE_MS] = [300, 5000, 30000, 15000];
const NAME = 'strike-ladder-pad';

const tab = String(Math.random());
const channel = self.BroadcastChannel && new BroadcastChannel(NAME);
const records = new Map();
const beingKept = new Set();
let writes = Promise.resolve();
let inOrder = null;
let hear = () => {};

/** How sending stands: `trouble` is null, 'unreachable' or the server's own sentence; `at` when it last answered. */
export const delivery = { trouble: null, at: null };

/** Calls `listener` after every change to what is kept, by this tab or another. */
export const listen = (listener) => { hear = listener; };

const select = (test) => [...records.values()].filter(test);
const strikeOf = ({ id }) => records.get(`strikes/${id}`);

/** Strikes of every practice on this phone that nobody took back, in the order struck. */
export function notVoid() {
  inOrder ??= select(({ kind, id }) => kind === 'strikes' && !records.has(`corrections/${id}`))
    .sort((one, other) => (one.struck_at + one.id < other.struck_at + other.id ? -1 : 1));
  return inOrder;
}

/** Those that count: the server refused none of them. */
export const valid = () => notVoid().filter(({ state }) => state !== 'rejected');

/** `valid()`, and the strikes that are being written at this moment. */
export const validOrComing = () => [...valid(), ...beingKept];
export const strikesById = (ids) => ids.map((id) => strikeOf({ id }));
export const turns = () => select(({ kind }) => kind === 'turns');
export const rejected = () => select(({ state }) => state === 'rejected');
// Where a strike was refused there is nothing to correct.
const isDue = (one) => one.state === 'waiting' && (one.kind === 'strikes' || strikeOf(one)?.state !== 'rejected');
export const waitingCount = () => select(isDue).length;

function merge(changed) {
  for (const record of changed) {
    const key = `${record.kind}/${record.id}`;
    // What the server has, it has, in whichever order two tabs hear of it.
    if (records.get(key)?.state !== 'stored') records.set(key, record);
    notBefore(record.struck_at ?? record.at);
  }
  inOrder = null;
  hear();
}

const keyOf = ({ kind, id, state }) => `${kind}/${state}/${id}`;

async function commit(changed, { durability, more = [] } = {}) {
  const before = changed.map(({ kind, id }) => records.get(`${kind}/${id}`)).filter(Boolean);
  await storage.write([...before.map((one) => [keyOf(one), undefined]), ...changed.map((one) => [keyOf(one), one]), ...more],
    durability);
  merge(changed);
  channel?.postMessage(changed);
}

const reread = async () => merge((await Promise.all(['strikes/', 'corrections/', 'turns/'].map(storage.readAll))).flat());

/** Opens what an earlier visit left. */
export async function load() {
  await reread();
  delivery.at = await storage.recall('delivered');
  if (channel) channel.onmessage = ({ data }) => merge(data);
}

/** Keeps new records, all or none; they count once this resolves, when they are on disk. Rejects when they are not. */
export async function keep(made) {
  const strikes = made.filter(({ kind }) => kind === 'strikes');
  strikes.forEach((one) => beingKept.add(one));
  const written = commit(made).finally(() => strikes.forEach((one) => beingKept.delete(one)));
  writes = Promise.allSettled([writes, written]);
  await written;
  if (!delivery.trouble) send();
}

/** Resolves once nothing is being written. */
export const settled = () => writes;

/** A correction for each strike, made now. */
export function correctionsOf(strikes, why) {
  const at = isoText(moment());
  return strikes.map(({ id, token }) => ({ kind: 'corrections', id, why, at, token, state: 'waiting' }));
}

let [running, timer, pause] = [false, 0, SHORTEST_PAUSE_MS];
let newestToken = () => null;
const refusedUntil = new Map();

/** Starts sending. `tokenOf(practice)` is the newest pass, for what an older one can no longer bring. */
export function start(tokenOf) {
  newestToken = tokenOf;
  addEventListener('online', retry);
  document.addEventListener('visibilitychange', () => document.hidden || retry());
  retry();
}

function retry() {
  refusedUntil.clear();
  pause = SHORTEST_PAUSE_MS;
  send();
}

async function send() {
  if (running) return;
  running = true;
  clearTimeout(timer);
  let outcome = 'more';
  while (outcome === 'more') outcome = await exclusively(sendBatch).catch(() => 'later');
  // Something was kept after the last look, or sent by a tab that this one did not hear.
  if (outcome === 'done' && waitingCount()) await reread();
  running = false;
  if (outcome === 'done' && !waitingCount()) return;
  timer = setTimeout(send, Math.max(SHORTEST_PAUSE_MS, pause * (0.75 + Math.random() / 4)));
  if (outcome === 'later') pause = Math.min(pause * 2, LONGEST_PAUSE_MS);
}

/** Runs `work` in one tab at a time: under a web lock, or on plain http, where there is none, under a lease. */
async function exclusively(work) {
  if (navigator.locks) return navigator.locks.request(NAME, work);
  const lease = JSON.parse(localStorage.getItem(NAME) ?? '{}');
  if (lease.tab !== tab && lease.until > Date.now()) return 'later';
  localStorage.setItem(NAME, JSON.stringify({ tab, until: Date.now() + LEASE_MS }));
  return work().finally(() => localStorage.removeItem(NAME));
}

/** Sends one call's worth, strikes before corrections. Gives 'more', 'done', or 'later' if it did not get through. */
async function sendBatch() {
  const mayTry = ({ token }) => !(refusedUntil.get(token) > Date.now());
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
    const changed = [
      ...batch.filter(({ id }) => there.has(id)).map((one) => ({ ...one, state: 'stored' })),
      ...batch.filter(({ id }) => reasons.has(id)).map((one) => ({ ...one, state: 'rejected', why: reasons.get(one.id) })),
    ];
    Object.assign(delivery, { trouble: null, at: nowMs() });
    pause = SHORTEST_PAUSE_MS;
    // Need not be flushed: were it lost, they would be sent again and be there already.
    await commit(changed, { durability: 'relaxed', more: [['clock', knownBounds()], ['delivered', delivery.at]] });
    return changed.length ? 'more' : 'later';
  } catch (error) {
    const isRefused = error instanceof Refused;
    if (isRefused && error.status === 401 && batch.some((record) => renewed(record) !== record)) {
      await commit(batch.map(renewed));
      return 'more';
    }
    if (isRefused) refusedUntil.set(token, Date.now() + REFUSED_PAUSE_MS);
    delivery.trouble = isRefused ? error.message : 'unreachable';
    hear();
    return 'later';
  }
}

function renewed(record) {
  const token = newestToken((strikeOf(record) ?? record).practice);
  return token && token !== record.token ? { ...record, token } : record;
}

/** Offers what was refused once more, with the newest pass. */
export async function offerAgain() {
  await commit(rejected().map((record) => ({ ...renewed(record), state: 'waiting' })));
  retry();
}

/** Forgets what the server has of other practices. */
export async function forgetOthers(practice) {
  const gone = select((one) => (strikeOf(one) ?? one).practice !== practice && one.state !== 'rejected'
    && ![one, strikeOf(one), records.get(`corrections/${one.id}`)].some((each) => each?.state === 'waiting'));
  await storage.write(gone.map((one) => [keyOf(one), undefined]));
  for (const { kind, id } of gone) records.delete(`${kind}/${id}`);
  inOrder = null;
}
