import { isoText, moment, nowMs } from './clock.js';
import { uuid7 } from './identity.js';
import * as queue from './queue.js';
import { chosen, group, practice, practiceId, strikes } from './session.js';

export const turns = () => queue.select((one) => one.kind === 'turns' && one.practice === practiceId()).reverse();
export const openTurn = () => turns().find(({ until }) => !until);
const turnOf = (player) => turns().find(({ until, players }) => !until && players.includes(player))?.id;

/** Keeps the strikes of `facts()` with what is selected now; gives whether they count. */
function log(player, facts) {
  const ms = moment();
  const { stage, surface, distance_m } = chosen;
  const shared = {
    kind: 'strikes', practice: practiceId(), player, stage, surface, distance_m, miss: null, struck_at: isoText(ms),
    struck_at_phone: isoText(Date.now()), turn: turnOf(player), token: practice.token, state: 'waiting',
  };
  return queue.keep(() => facts().map((own) => ({ id: uuid7(ms), ...shared, ...own })));
}

export function setInHand(player, foot, list = strikes()) {
  const last = list.findLast((one) => one.player === player && one.foot === foot && one.source === 'tap');
  const goesOn = last && last.turn === turnOf(player)
    && ['stage', 'distance_m'].every((name) => last[name] === chosen[name]);
  const marks = list.filter(({ set_id, outcome }) => goesOn && set_id === last.set_id && outcome !== 'blocked')
    .map(({ outcome }) => outcome === 'on target');
  const isDone = marks.length >= chosen.setSize;
  const text = `${marks.filter(Boolean).length} of ${marks.length}${isDone ? ', set done' : ''}`;
  return { id: goesOn && last.set_id, marks, isDone, text };
}

export const logTap = (player, foot, outcome, miss) => log(player, () => {
  const { id, isDone } = setInHand(player, foot);
  return [{ foot, outcome, miss, source: 'tap', set_id: id && !isDone ? id : uuid7(nowMs()) }];
});

/** A set called out: so many on target, in no known order. */
export function logSet(player, foot, onTarget) {
  const [set_id, size] = [uuid7(nowMs()), chosen.setSize];
  return log(player, () => Array.from({ length: size }, (_, place) => (
    { foot, outcome: place < onTarget ? 'on target' : 'off target', source: 'call-out', set_id })));
}

const ended = () => [openTurn()].filter(Boolean).map((turn) => ({ ...turn, until: isoText(moment()) }));

export const startTurn = () => queue.keep(() => {
  const [ms, players] = [moment(), group()];
  const turn = { kind: 'turns', id: uuid7(ms), practice: practiceId(), players, at: isoText(ms), state: 'local' };
  return [...ended(), turn];
});

export const endTurn = () => queue.keep(ended);

/** Voids every strike of a turn: it was not all seen. */
export const dropTurn = (turn) => queue.keep(() => {
  const gone = strikes().filter((strike) => strike.turn === turn.id);
  const dropped_at = isoText(moment());
  return [{ ...turn, until: turn.until ?? dropped_at, dropped_at, dropped: gone },
    ...queue.correctionsOf(gone, 'turn dropped at the touchline')];
});

/** What Undo takes back: { strikes }, { turn } that was dropped, or null. */
export function lastAction() {
  const list = strikes();
  const last = list.at(-1);
  const [turn] = turns().filter((one) => one.dropped_at > (last?.struck_at ?? ''))
    .sort((one, other) => (one.dropped_at < other.dropped_at ? 1 : -1));
  if (turn || !last) return turn ? { turn } : null;
  return { strikes: last.source === 'tap' ? [last] : list.filter(({ set_id }) => set_id === last.set_id) };
}

/** Takes the last action back. A dropped turn comes back as the same strikes under new ids. */
export const undo = () => queue.keep(() => {
  const last = lastAction();
  if (!last?.turn) return queue.correctionsOf(last?.strikes ?? [], 'undone at the touchline');
  return [{ ...last.turn, dropped_at: null }, ...last.turn.dropped.map((strike) => (
    { ...strike, id: uuid7(Date.parse(strike.struck_at)), token: practice.token, state: 'waiting', stored_at: null }))];
});
