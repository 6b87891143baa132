// Strikes and corrections made on this phone: kept before they count, sent until the server has them, never twice.

import { knownBounds, moment, notBefore, nowMs } from '/pad/clock.js';
import { ask, Refused } from '/pad/server.js';
import * as storage from '/pad/storage.js';

const MOST_A_CALL = 100;
const SHORTEST_PAUSE_MS = 300;
const LONGEST_PAUSE_MS = 5000;
const REFUSED_PAUSE_MS = 30000;
const LEASE_MS = 15000;
const SENT_FIELDS = ['strike_id', 'practice', 'player', 'stage', 'foot', 'surface', 'outcome', 'miss', 'distance_m',
  'struck_at', 'struck_at_phone', 'set_id', 'source'];

const tab = crypto.getRandomValues(new Uint32Array(2)).join('-');
const channel = 'BroadcastChannel' in self ? new BroadcastChannel('strike-ladder-pad') : null;
const heard = { change: [], kept: [] };
const records = { strikes: new Map(), corrections: new Map() };
const beingKept = new Map();
let writes = Promise.resolve();
let inOrder = null;

/** How sending stands: `trouble` is null, 'unreachable' or the server's own sentence; `at` when it last answered. */
export const delivery = { trouble: null, at: null };

/** Calls `hear` after every change to what is kept, or ('kept') after something named was kept by another tab. */
export const listen = (hear, what = 'change') => heard[what].push(hear);

const tell = (what, value) => heard[what].forEach((hear) => hear(value));

/** Strikes that count so far: neither refused nor voided; of every practice on this phone, in the order struck. */
export function valid() {
  inOrder ??= [...records.strikes.values()]
    .filter((strike) => strike.state !== 'rejected' && !records.corrections.has(strike.strike_id))
    .sort((one, other) => (one.struck_at + one.strike_id < other.struck_at + other.strike_id ? -1 : 1));
  return inOrder;
}

/** `valid()`, and the strikes that are being written at this moment. */
export const validOrComing = () => [...valid(), ...beingKept.values()];

/** Whether a record still has to reach the server. Where a strike was refused there is nothing to correct. */
const isWaiting = (record) => record.state === 'waiting' && ('struck_at' in record || strikeState(record) !== 'rejected');

export const waitingCount = () => Object.values(records)
  .reduce((count, kind) => count + [...kind.values()].filter(isWaiting).length, 0);

/** Strikes the server has not got: waiting, or refused with a `why`. */
export const unsent = () => [...records.strikes.values()].filter((strike) => strike.state !== 'stored');
export const rejected = () => Object.values(records).flatMap((kind) => [...kind.values()])
  .filter((record) => record.state === 'rejected');
export const isVoid = (strike) => records.corrections.has(strike.strike_id);

function merge(changes) {
  for (const kind of Object.keys(records)) {
    for (const record of changes[kind] ?? []) {
      // What the server has, it has, in whichever order two tabs hear of it.
      if (records[kind].get(record.strike_id)?.state === 'stored') continue;
      records[kind].set(record.strike_id, record);
      if (record.struck_at) notBefore(Date.parse(record.struck_at));
    }
  }
  inOrder = null;
  tell('change');
}

async function commit(changes, options) {
  await storage.write(changes, options);
  merge(changes);
  channel?.postMessage(changes);
}

async function reread() {
  merge({ strikes: await storage.all('strikes'), corrections: await storage.all('corrections') });
}

/** Opens what an earlier visit left. */
export async function load() {
  await reread();
  delivery.at = await storage.recall('delivered', null);
  channel?.addEventListener('message', ({ data }) => {
    merge(data);
    for (const { name, value } of data.kept ?? []) tell('kept', { name, value });
  });
}

/**
 * Keeps new strikes, corrections and named things, all or none; resolves once they are on disk, and only then do they
 * count. Rejects when the phone could not keep them.
 */
export function keep({ strikes = [], corrections = [], kept = [] }) {
  for (const strike of strikes) beingKept.set(strike.strike_id, strike);
  const written = commit({ strikes, corrections, kept }).finally(() => {
    for (const strike of strikes) beingKept.delete(strike.strike_id);
  });
  writes = Promise.allSettled([writes, written]);
  return written.then(() => { if (!delivery.trouble) send(); });
}

/** Resolves once nothing is being written. */
export const settled = () => writes;

/** A correction for each strike, said to be made now. */
export function correctionsOf(strikes, why) {
  const at = new Date(moment().ms).toISOString();
  return strikes.map(({ strike_id, token }) => ({ strike_id, why, at, token, state: 'waiting' }));
}

let running = false;
let timer = null;
let pause = SHORTEST_PAUSE_MS;
let batchSize = MOST_A_CALL;
const refusedTokens = new Map();
let newestToken = () => null;

/** Starts sending; `tokenOf(practice)` is the newest pass for a practice, for what an older one can no longer bring. */
export function start(tokenOf) {
  newestToken = tokenOf;
  addEventListener('online', retry);
  document.addEventListener('visibilitychange', () => { if (!document.hidden) retry(); });
  retry();
}

/** Sends now, whatever went wrong before. */
export function retry() {
  refusedTokens.clear();
  pause = SHORTEST_PAUSE_MS;
  send();
}

async function send() {
  if (running) return;
  running = true;
  clearTimeout(timer);
  let outcome = 'more';
  while (outcome === 'more') outcome = await exclusively(sendBatch).catch(() => 'later');
  // Kept after the last look, or sent by another tab that this one did not hear.
  if (outcome === 'done' && waitingCount()) await reread();
  running = false;
  if (outcome === 'done' && !waitingCount()) return;
  timer = setTimeout(send, Math.max(SHORTEST_PAUSE_MS, pause * (0.75 + Math.random() / 4)));
  if (outcome !== 'done') pause = Math.min(pause * 2, LONGEST_PAUSE_MS);
}

/** Runs `work` in one tab at a time: with a web lock, or where there are none (plain http) with a lease on disk. */
async function exclusively(work) {
  if (navigator.locks) return navigator.locks.request('strike-ladder-pad', work);
  if (!(await storage.takeLease(tab, LEASE_MS))) return 'later';
  try {
    return await work();
  } finally {
    await storage.takeLease(tab, 0);
  }
}

/** How the strike of a correction stands; one this phone has forgotten is stored. */
const strikeState = ({ strike_id }) => records.strikes.get(strike_id)?.state ?? 'stored';

const mayTry = ({ token }) => !(refusedTokens.get(token) > Date.now());

/** Sends one call's worth. Gives 'more', 'done', or 'later' when it did not get through. */
async function sendBatch() {
  const strikes = await storage.waiting('strikes');
  const ready = strikes.filter(mayTry);
  if (ready.length) return deliver('strikes', ready);
  const corrections = (await storage.waiting('corrections')).filter(isWaiting);
  const due = corrections.filter((one) => mayTry(one) && strikeState(one) === 'stored');
  if (due.length) return deliver('corrections', due);
  return strikes.length || corrections.length ? 'later' : 'done';
}

async function deliver(kind, waiting) {
  const { token } = waiting[0];
  const batch = waiting.filter((record) => record.token === token).slice(0, batchSize);
  try {
    const answer = await ask(`/api/${kind}`, token, { [kind]: batch.map(kind === 'strikes' ? sentStrike : sentCorrection) });
    const there = new Set([...answer.stored, ...answer.already_there]);
    const refused = new Map(answer.rejected.map((one) => [one.strike_id, one]));
    const changed = batch.filter(({ strike_id: id }) => there.has(id) || refused.has(id)).map((record) => (
      there.has(record.strike_id) ? { ...record, state: 'stored' }
        : { ...record, state: 'rejected', why: refused.get(record.strike_id).why }));
    delivery.trouble = null;
    delivery.at = nowMs();
    pause = SHORTEST_PAUSE_MS;
    batchSize = MOST_A_CALL;
    // Not flushed: were this lost, the strikes would be sent again and found there already.
    const kept = [{ name: 'clock', value: knownBounds() }, { name: 'delivered', value: delivery.at }];
    await commit({ [kind]: changed, kept }, { durability: 'relaxed' });
    return changed.length ? 'more' : 'later';
  } catch (error) {
    return troubled(error, kind, batch);
  }
}

async function troubled(error, kind, batch) {
  if (!(error instanceof Refused)) {
    delivery.trouble = 'unreachable';
  } else if (error.status === 401 && batch.some((record) => renewed(record) !== record)) {
    await commit({ [kind]: batch.map(renewed) });
    return 'more';
  } else if (error.status === 422 || error.status === 413) {
    if (batch.length === 1) await commit({ [kind]: [{ ...batch[0], state: 'rejected', why: error.message }] });
    batchSize = Math.ceil(batch.length / 4); // finds the one that spoils the others
    return 'more';
  } else {
    delivery.trouble = error.message;
    if (error.status === 401 || error.status === 403) refusedTokens.set(batch[0].token, Date.now() + REFUSED_PAUSE_MS);
  }
  tell('change');
  return 'later';
}

function renewed(record) {
  const practice = record.practice ?? records.strikes.get(record.strike_id)?.practice;
  const token = newestToken(practice);
  return token && token !== record.token ? { ...record, token } : record;
}

/** Offers what was refused once more, with the newest pass. */
export async function offerAgain() {
  const again = (kind) => [...records[kind].values()].filter((record) => record.state === 'rejected')
    .map((record) => ({ ...renewed(record), state: 'waiting', why: undefined }));
  await commit({ strikes: again('strikes'), corrections: again('corrections') });
  retry();
}

/** Forgets what other practices left once the server has all of it. */
export async function forgetOthers(practice) {
  const strikes = [...records.strikes.values()].filter((strike) => strike.practice !== practice
    && strike.state === 'stored' && (records.corrections.get(strike.strike_id)?.state ?? 'stored') === 'stored');
  const corrections = strikes.map(({ strike_id }) => records.corrections.get(strike_id)).filter(Boolean);
  await storage.remove({ strikes, corrections });
  for (const { strike_id } of strikes) records.strikes.delete(strike_id);
  for (const { strike_id } of corrections) records.corrections.delete(strike_id);
  inOrder = null;
}

const sentStrike = (strike) => Object.fromEntries(SENT_FIELDS.map((name) => [name, strike[name]]));
const sentCorrection = ({ strike_id, why, at }) => ({ strike_id, why, at });
