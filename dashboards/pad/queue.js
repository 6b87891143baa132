// What was logged on this phone: kept before it counts, sent until the server has it, never twice.
// A record has an `id` and a `state`: waiting, stored, rejected (with `why`), or local (turns stay on the phone).

import { isoText, knownBounds, moment, notBefore, nowMs } from '/pad/clock.js';
import { ask, Refused } from '/pad/server.js';
import * as storage from '/pad/storage.js';

const MOST_A_CALL = 100;
const [SHORTEST_PAUSE_MS, LONGEST_PAUSE_MS, REFUSED_PAUSE_MS, LEASE_MS] = [300, 5000, 30000, 15000];
const SENT = {
  strikes: ['practice', 'player', 'stage', 'foot', 'surface', 'outcome', 'miss', 'distance_m', 'struck_at',
    'struck_at_phone', 'set_id', 'source'],
  corrections: ['why', 'at'],
};

const tab = String(Math.random());
const channel = self.BroadcastChannel && new BroadcastChannel('strike-ladder-pad');
const records = { strikes: new Map(), corrections: new Map(), turns: new Map() };
const beingKept = new Set();
let writes = Promise.resolve();
let inOrder = null;
let hear = () => {};

/** How sending stands: `trouble` is null, 'unreachable' or the server's own sentence; `at` when it last had all well. */
export const delivery = { trouble: null, at: null };

/** Calls `listener` after every change to what is kept, by this tab or another. */
export const listen = (listener) => { hear = listener; };

/** Strikes that count, neither refused nor voided, of every practice on this phone, in the order struck. */
export function valid() {
  inOrder ??= [...records.strikes.values()].filter((one) => one.state !== 'rejected' && !isVoid(one))
    .sort((one, other) => (one.struck_at + one.id < other.struck_at + other.id ? -1 : 1));
  return inOrder;
}

/** `valid()`, and the strikes that are being written at this moment. */
export const validOrComing = () => [...valid(), ...beingKept];
export const isVoid = ({ id }) => records.corrections.has(id);
export const strikesById = (ids) => ids.map((id) => records.strikes.get(id));
export const turns = () => [...records.turns.values()];

const sendable = () => [...records.strikes.values(), ...records.corrections.values()];
export const waitingCount = () => sendable().filter(isDue).length;
export const rejected = () => sendable().filter(({ state }) => state === 'rejected');
export const unsent = () => [...records.strikes.values()].filter(({ state }) => state !== 'stored');

/** How the strike of a correction stands; one this phone has forgotten is stored. */
const strikeState = ({ id }) => records.strikes.get(id)?.state ?? 'stored';
/** Whether a record must still reach the server. Where a strike was refused there is nothing to correct. */
const isDue = (record) => record.state === 'waiting' && (record.foot || strikeState(record) !== 'rejected');

function merge(changes) {
  for (const [kind, changed] of Object.entries(changes)) {
    for (const record of changed) {
      // What the server has, it has, in whichever order two tabs hear of it.
      if (records[kind].get(record.id)?.state !== 'stored') records[kind].set(record.id, record);
      notBefore(record.struck_at ?? record.at);
    }
  }
  inOrder = null;
  hear();
}

async function commit(changes, { durability, more = [] } = {}) {
  const key = (kind, { id }, state) => `${kind}/${state}/${id}`;
  const entries = Object.entries(changes).flatMap(([kind, changed]) => changed.flatMap((record) => {
    const before = records[kind].get(record.id)?.state ?? record.state;
    return [[key(kind, record, before), undefined], [key(kind, record, record.state), record]];
  }));
  await storage.write([...entries, ...more], durability);
  merge(changes);
  channel?.postMessage(changes);
}

async function reread() {
  const kinds = Object.keys(records);
  const found = await Promise.all(kinds.map((kind) => storage.readAll(`${kind}/`)));
  merge(Object.fromEntries(kinds.map((kind, place) => [kind, found[place]])));
}

/** Opens what an earlier visit left. */
export async function load() {
  await reread();
  delivery.at = await storage.recall('delivered');
  if (channel) channel.onmessage = ({ data }) => merge(data);
}

/** Keeps new records, all or none; they count once this resolves, when they are on disk. Rejects when they are not. */
export async function keep(changes) {
  for (const strike of changes.strikes ?? []) beingKept.add(strike);
  const written = commit(changes).finally(() => changes.strikes?.forEach((strike) => beingKept.delete(strike)));
  writes = Promise.allSettled([writes, written]);
  await written;
  if (!delivery.trouble) send();
}

/** Resolves once nothing is being written. */
export const settled = () => writes;

/** A correction for each strike, made now. */
export function correctionsOf(strikes, why) {
  const at = isoText(moment());
  return strikes.map(({ id, token }) => ({ id, why, at, token, state: 'waiting' }));
}

let running = false;
let timer = null;
let pause = SHORTEST_PAUSE_MS;
let batchSize = MOST_A_CALL;
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
  if (navigator.locks) return navigator.locks.request('strike-ladder-pad', work);
  const lease = JSON.parse(localStorage.getItem('pad-lease') ?? '{}');
  if (lease.tab !== tab && lease.until > Date.now()) return 'later';
  localStorage.setItem('pad-lease', JSON.stringify({ tab, until: Date.now() + LEASE_MS }));
  return work().finally(() => localStorage.removeItem('pad-lease'));
}

/** Sends one call's worth, strikes before corrections. Gives 'more', 'done', or 'later' if it did not get through. */
async function sendBatch() {
  const mayTry = ({ token }) => !(refusedUntil.get(token) > Date.now());
  const strikes = await storage.readAll('strikes/waiting/');
  if (strikes.some(mayTry)) return deliver('strikes', strikes.filter(mayTry));
  const corrections = (await storage.readAll('corrections/waiting/')).filter(isDue);
  const due = corrections.filter((one) => mayTry(one) && strikeState(one) === 'stored');
  if (due.length) return deliver('corrections', due);
  return strikes.length || corrections.length ? 'later' : 'done';
}

async function deliver(kind, waiting) {
  const { token } = waiting[0];
  const batch = waiting.filter((record) => record.token === token).slice(0, batchSize);
  const sent = batch.map((record) => (
    { strike_id: record.id, ...Object.fromEntries(SENT[kind].map((name) => [name, record[name]])) }));
  try {
    const { stored, already_there, rejected: refused } = await ask(`/api/${kind}`, token, { [kind]: sent });
    const there = new Set([...stored, ...already_there]);
    const why = new Map(refused.map((one) => [one.strike_id, one.why]));
    const changed = [...batch.filter(({ id }) => there.has(id)).map((record) => ({ ...record, state: 'stored' })),
      ...batch.filter(({ id }) => why.has(id)).map((record) => ({ ...record, state: 'rejected', why: why.get(record.id) }))];
    Object.assign(delivery, { trouble: null, at: nowMs() });
    pause = SHORTEST_PAUSE_MS;
    batchSize = MOST_A_CALL;
    // Need not be flushed: were it lost, they would be sent again and be there already.
    await commit({ [kind]: changed }, { durability: 'relaxed', more: [['clock', knownBounds()], ['delivered', delivery.at]] });
    return changed.length ? 'more' : 'later';
  } catch (error) {
    return troubled(error, kind, batch);
  }
}

async function troubled(error, kind, batch) {
  const status = error instanceof Refused ? error.status : 0;
  if (status === 422 || status === 413) { // one spoils the others: find it
    batchSize = Math.ceil(batch.length / 4);
    if (batch.length === 1) await commit({ [kind]: [{ ...batch[0], state: 'rejected', why: error.message }] });
    return 'more';
  }
  if (status === 401 && batch.some((record) => renewed(record) !== record)) {
    await commit({ [kind]: batch.map(renewed) });
    return 'more';
  }
  if (status === 401 || status === 403) refusedUntil.set(batch[0].token, Date.now() + REFUSED_PAUSE_MS);
  delivery.trouble = status ? error.message : 'unreachable';
  hear();
  return 'later';
}

function renewed(record) {
  const token = newestToken(record.practice ?? records.strikes.get(record.id)?.practice);
  return token && token !== record.token ? { ...record, token } : record;
}

/** Offers what was refused once more, with the newest pass. */
export async function offerAgain() {
  const again = (kind) => [...records[kind].values()].filter(({ state }) => state === 'rejected')
    .map((record) => ({ ...renewed(record), state: 'waiting' }));
  await commit({ strikes: again('strikes'), corrections: again('corrections') });
  retry();
}

/** Forgets what the server has of other practices. */
export async function forgetOthers(practice) {
  const isOver = ({ id }) => {
    const strike = records.strikes.get(id);
    return strike?.state === 'stored' && strike.practice !== practice && records.corrections.get(id)?.state !== 'waiting';
  };
  const gone = Object.entries({ corrections: isOver, strikes: isOver, turns: (turn) => turn.practice !== practice })
    .flatMap(([kind, test]) => [...records[kind].values()].filter(test).map((record) => [kind, record]));
  await storage.write(gone.map(([kind, { state, id }]) => [`${kind}/${state}/${id}`, undefined]));
  for (const [kind, { id }] of gone) records[kind].delete(id);
  inOrder = null;
}
