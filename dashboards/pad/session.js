// What the page knows of its practice, and what is selected at this moment.

import { moment, notBefore, nowMs, recallBounds } from '/pad/clock.js';
import { uuid7 } from '/pad/identity.js';
import * as queue from '/pad/queue.js';
import { ask, Refused } from '/pad/server.js';
import * as storage from '/pad/storage.js';

/** How this phone is set: kept through reloads, whatever the practice. */
export const choices = {
  mirrored: false, dark: false, sound: false, vibration: true, keys: true, together: null, alternating: false,
  groupSize: 2,
};

/** The practice as the server described it, the pass, and what is selected. */
export const session = {
  briefing: null, token: null, trouble: null, keptBriefing: false,
  order: [], group: 0, active: null, foot: 'left', view: 'tap',
  stage: null, surface: null, distance_m: null, setSize: 10,
  turns: [], elsewhere: {},
};
const SELECTED = ['order', 'group', 'active', 'foot', 'stage', 'surface', 'distance_m', 'setSize'];

let redraw = () => {};

/** Calls `draw` after every change of what is selected. */
export function onChange(draw) {
  redraw = draw;
}

const practiceId = () => session.briefing.practice.practice_id;
export const playerById = (id) => session.briefing.players.find((player) => player.player_id === id);
export const nameOf = (id) => playerById(id)?.display_name ?? 'somebody who left';
export const stageNow = () => session.briefing.stages.find((stage) => stage.name === session.stage) ?? null;
export const hasEnded = () => nowMs() > Date.parse(session.briefing.expires_at);
export const openTurn = () => session.turns.find((turn) => !turn.ended_at) ?? null;

/** The players of the group shown, in their order. */
export function group() {
  return session.order.slice(session.group * choices.groupSize, (session.group + 1) * choices.groupSize);
}
export const groupCount = () => Math.max(1, Math.ceil(session.order.length / choices.groupSize));

/** Strikes of this practice on this phone that count. */
export const strikes = () => queue.valid().filter((strike) => strike.practice === practiceId());

/** Reads the practice and the pass from the address; without them, what was opened last. */
export async function open() {
  Object.assign(choices, await storage.recall('choices', {}));
  recallBounds(await storage.recall('clock', null));
  const practice = new URLSearchParams(location.search).get('practice') ?? await storage.recall('last', null);
  const token = decodeURIComponent(location.hash.slice(1));
  if (!practice) return;
  if (token) {
    try {
      await storage.write({ kept: [{ name: `pass/${practice}`, value: token }, { name: 'last', value: practice }] });
      history.replaceState(null, '', location.pathname + location.search); // no pass in the history or over a shoulder
    } catch { /* then it has to stay in the address */ }
  }
  session.token = token || await storage.recall(`pass/${practice}`, null);
  const briefing = await storage.recall(`briefing/${practice}`, null);
  if (briefing) await take(briefing);
  session.keptBriefing = Boolean(briefing);
}

async function take(briefing) {
  const first = !session.briefing;
  session.briefing = briefing;
  if (first) {
    const selected = await storage.recall(`selected/${practiceId()}`, {});
    session.stage = briefing.watch[0]?.stage ?? briefing.stages[0]?.name ?? null;
    takeStage();
    Object.assign(session, selected);
    session.turns = await storage.recall(`turns/${practiceId()}`, []);
    session.elsewhere = await storage.recall(`elsewhere/${practiceId()}`, {});
    for (const turn of session.turns) notBefore(Date.parse(turn.dropped_at ?? turn.started_at));
  }
  const ids = briefing.players.map((player) => player.player_id);
  session.order = [...session.order.filter((id) => ids.includes(id)), ...ids.filter((id) => !session.order.includes(id))];
  if (!group().length) session.group = 0;
  if (!group().includes(session.active)) session.active = group()[0] ?? null;
  if (session.stage && !stageNow()) session.stage = briefing.stages[0]?.name ?? null;
}

/** Asks the server for the practice. What it says is kept, for the field without a network. */
export async function refresh() {
  if (!session.token) return;
  const quiet = queue.waitingCount() === 0;
  const mine = attemptsByPlayerAndFoot(session.briefing ? strikes() : []);
  try {
    const briefing = await ask('/api/practice', session.token);
    await take(briefing);
    session.trouble = null;
    const kept = [{ name: `briefing/${practiceId()}`, value: briefing }, { name: 'last', value: practiceId() },
      { name: `pass/${practiceId()}`, value: session.token }];
    if (quiet && queue.waitingCount() === 0) { // else some of ours may or may not be in the server's count
      const others = briefing.today.map(({ player_id, foot, attempts }) => [`${player_id} ${foot}`, attempts]);
      session.elsewhere = Object.fromEntries(others.map(([key, count]) => [key, Math.max(0, count - (mine[key] ?? 0))]));
      kept.push({ name: `elsewhere/${practiceId()}`, value: session.elsewhere });
    }
    await storage.write({ kept }).then(() => { session.keptBriefing = true; }, () => {});
    await queue.forgetOthers(practiceId());
  } catch (error) {
    session.trouble = error instanceof Refused ? error.message : 'unreachable';
  }
  redraw();
}

const isAttempt = (strike) => strike.outcome !== 'blocked';

function attemptsByPlayerAndFoot(list) {
  const counts = {};
  for (const { player, foot } of list.filter(isAttempt)) counts[`${player} ${foot}`] = (counts[`${player} ${foot}`] ?? 0) + 1;
  return counts;
}

/** Attempts of this practice by "player foot": on this phone, and what the server knew of the other phones. */
export function coverage() {
  const counts = attemptsByPlayerAndFoot(strikes());
  for (const [key, count] of Object.entries(session.elsewhere)) counts[key] = (counts[key] ?? 0) + count;
  return counts;
}

/** Selects, draws, and keeps the selection. */
export function select(changes) {
  Object.assign(session, changes);
  redraw();
  const selected = Object.fromEntries(SELECTED.map((name) => [name, session[name]]));
  storage.keep(`selected/${practiceId()}`, selected).catch(() => {});
}

/** Sets the phone, draws, and keeps the setting. */
export function choose(changes) {
  Object.assign(choices, changes);
  redraw();
  storage.keep('choices', { ...choices }).catch(() => {});
}

function takeStage() {
  const stage = stageNow();
  Object.assign(session, {
    surface: stage?.surfaces[0] ?? null, distance_m: stage?.distance_m ?? null, setSize: stage?.set_sizes[0] ?? 10,
  });
}

/** Goes to the stage so many further on, with its own surface, distance and set size. */
export function stepStage(step) {
  const { stages } = session.briefing;
  const place = stages.findIndex((stage) => stage.name === session.stage);
  session.stage = stages[(place + step + stages.length) % stages.length]?.name ?? null;
  takeStage();
  select({});
}

/** Shows a group, and its first player or the one named. A turn of another group ends: it was a turn of theirs. */
export function showGroup(number, player) {
  const place = (number + groupCount()) % groupCount();
  if (place !== session.group) endTurn();
  session.group = place;
  select({ active: player ?? group()[0] ?? null });
}

/** Shows the group a player is in. */
export const showPlayer = (player) => showGroup(Math.floor(session.order.indexOf(player) / choices.groupSize), player);

/** Two players change places. */
export function swap(one, other) {
  const order = session.order.map((id) => (id === one ? other : id === other ? one : id));
  endTurn();
  select({ order, active: other });
}

/** The next player of the group is up. */
export function nextPlayer() {
  const players = group();
  select({ active: players[(players.indexOf(session.active) + 1) % players.length] });
}

const turnsKept = () => ({ name: `turns/${practiceId()}`, value: session.turns });
const keepTurns = () => storage.write({ kept: [turnsKept()] }).catch(() => {});

/** From now on everything the group shown does is logged. */
export function startTurn() {
  const { ms } = moment();
  session.turns = [...session.turns.map(ended),
    { turn_id: uuid7(ms), players: group(), started_at: new Date(ms).toISOString(), ended_at: null, dropped_at: null }];
  keepTurns();
  redraw();
}

const ended = (turn) => (turn.ended_at ? turn : { ...turn, ended_at: new Date(moment().ms).toISOString() });

/** Ends the turn that is open. */
export function endTurn() {
  if (!openTurn()) return;
  session.turns = session.turns.map(ended);
  keepTurns();
  redraw();
}

/** Voids every strike of a turn: it was not all seen. */
export async function dropTurn(turn_id) {
  await queue.settled();
  const gone = strikes().filter((strike) => strike.turn === turn_id);
  const dropped_at = new Date(moment().ms).toISOString();
  await changeTurns(turn_id, (turn) => ({ ...ended(turn), dropped_at }),
    { corrections: queue.correctionsOf(gone, 'turn not all seen, dropped at the touchline') }, gone);
}

async function changeTurns(turn_id, change, records, dropped) {
  const before = session.turns;
  session.turns = before.map((turn) => (turn.turn_id === turn_id ? { ...change(turn), dropped } : turn));
  try {
    await queue.keep({ ...records, kept: [turnsKept()] });
  } catch (error) {
    session.turns = before;
    throw error;
  }
}

/** Keeps strikes, each given what is selected now; resolves once they count. `facts` holds what differs. */
export async function log(facts) {
  const { ms, phoneMs } = moment();
  const shared = {
    practice: practiceId(), stage: session.stage, surface: session.surface, distance_m: session.distance_m,
    struck_at: new Date(ms).toISOString(), struck_at_phone: new Date(phoneMs).toISOString(),
    turn: openTurn()?.turn_id ?? null, token: session.token, state: 'waiting', miss: null,
  };
  await queue.keep({ strikes: facts.map((one) => ({ strike_id: uuid7(ms), ...shared, ...one })) });
}

/** The set a foot is in: its strikes in order, and its id; empty when the next strike starts a new one. */
export function setInHand(player, foot, { list = strikes() } = {}) {
  const last = list.findLast((strike) => strike.player === player && strike.foot === foot && strike.source === 'tap');
  const same = last && ['stage', 'surface', 'distance_m'].every((name) => last[name] === session[name])
    && last.turn === (openTurn()?.turn_id ?? null);
  const made = same ? list.filter((strike) => strike.set_id === last.set_id) : [];
  const attempts = made.filter(isAttempt);
  return {
    set_id: last?.set_id, marks: attempts.map((strike) => strike.outcome === 'on target'), attempts: attempts.length,
    onTarget: attempts.filter((strike) => strike.outcome === 'on target').length,
    isDone: attempts.length >= session.setSize, isNew: made.length === 0,
  };
}

/** One tap: keeps one strike of a foot, in the set it belongs to. */
export function logTap(player, foot, outcome, miss) {
  const set = setInHand(player, foot, { list: queue.validOrComing().filter((one) => one.practice === practiceId()) });
  const set_id = set.isNew || set.isDone ? uuid7(nowMs()) : set.set_id;
  return log([{ player, foot, outcome, miss, set_id, source: 'tap' }]);
}

/** A set called out: `onTarget` of the set size, order not known. */
export function logSet(player, foot, onTarget) {
  const set_id = uuid7(nowMs());
  return log(Array.from({ length: session.setSize }, (_, number) => (
    { player, foot, outcome: number < onTarget ? 'on target' : 'off target', set_id, source: 'call-out' })));
}

/** What can be undone, the oldest first: { at, strikes } for a tap or a called set, { at, turn } for a dropped turn. */
export function actions() {
  const bySet = new Map();
  for (const strike of strikes()) {
    const key = strike.source === 'tap' ? strike.strike_id : strike.set_id;
    if (!bySet.has(key)) bySet.set(key, { at: strike.struck_at, strikes: [] });
    bySet.get(key).strikes.push(strike);
  }
  const drops = session.turns.filter((turn) => turn.dropped_at).map((turn) => ({ at: turn.dropped_at, turn }));
  return [...bySet.values(), ...drops].sort((one, other) => (one.at > other.at) - (one.at < other.at));
}

/** Takes the last action back, and returns it. A dropped turn comes back as the same strikes under new ids. */
export async function undo() {
  await queue.settled(); // a strike that is just being written is the one meant
  const last = actions().at(-1);
  if (!last) return null;
  if (last.strikes) {
    await queue.keep({ corrections: queue.correctionsOf(last.strikes, 'undone at the touchline') });
  } else {
    const again = last.turn.dropped.map((strike) => (
      { ...strike, strike_id: uuid7(Date.parse(strike.struck_at)), token: session.token, state: 'waiting' }));
    await changeTurns(last.turn.turn_id, (turn) => ({ ...turn, dropped_at: null }), { strikes: again });
  }
  return last;
}

queue.listen(({ name, value }) => {
  if (session.briefing && name === `turns/${practiceId()}`) session.turns = value;
  redraw();
}, 'kept');
