import { isoText, moment, nowMs } from './clock.js';
import { uuid7 } from './identity.js';
import * as queue from './queue.js';
import { group, practice, practiceId, selection, strikes } from './session.js';

/** The turns of this practice, the latest first, and the one that is open. */
export const turns = () => queue.turns().filter((turn) => turn.practice === practiceId()).reverse();
export const openTurn = () => turns().find((turn) => !turn.until);

/** Keeps strikes, each with `facts` of its own and what is selected. Resolves once they count. */
function log(facts) {
  const phone = isoText(Date.now());
  const ms = moment();
  const { stage, surface, distance_m } = selection;
  return queue.keep(facts.map((own) => ({
    kind: 'strikes', id: uuid7(ms), practice: practiceId(), stage, surface, distance_m, miss: null, struck_at: isoText(ms),
    struck_at_phone: phone, turn: openTurn()?.id, token: practice.token, state: 'waiting', ...own,
  })));
}

/** The set a foot is in: its id, and whether each attempt was on target; empty when the next strike starts a new one. */
export function setInHand(player, foot, list = strikes()) {
  const last = list.findLast((strike) => strike.player === player && strike.foot === foot && strike.source === 'tap');
  const goesOn = last && last.turn === openTurn()?.id
    && ['stage', 'surface', 'distance_m'].every((name) => last[name] === selection[name]);
  const made = goesOn ? list.filter(({ set_id, outcome }) => set_id === last.set_id && outcome !== 'blocked') : [];
  const marks = made.map(({ outcome }) => outcome === 'on target');
  return { id: goesOn && last.set_id, marks, onTarget: marks.filter(Boolean).length, isDone: marks.length >= selection.setSize };
}

/** One tap: one strike, in the set it belongs to. */
export function logTap(player, foot, outcome, miss) {
  const { id, isDone } = setInHand(player, foot, queue.validOrComing().filter((one) => one.practice === practiceId()));
  return log([{ player, foot, outcome, miss, source: 'tap', set_id: id && !isDone ? id : uuid7(nowMs()) }]);
}

/** A set called out: so many on target of the set size, in no known order. */
export function logSet(player, foot, onTarget) {
  const set_id = uuid7(nowMs());
  return log(Array.from({ length: selection.setSize }, (_, place) => (
    { player, foot, outcome: place < onTarget ? 'on target' : 'off target', source: 'call-out', set_id })));
}

const ended = () => [openTurn()].filter(Boolean).map((turn) => ({ ...turn, until: isoText(moment()) }));

/** From now on everything these players do is logged. */
export function startTurn() {
  const ms = moment();
  return queue.keep([...ended(),
    { kind: 'turns', id: uuid7(ms), practice: practiceId(), players: group(), at: isoText(ms), state: 'local' }]);
}

/** Ends the turn that is open. */
export const endTurn = () => queue.keep(ended());

/** Voids every strike of a turn: it was not all seen. */
export async function dropTurn(turn) {
  await queue.settled();
  const gone = strikes().filter((strike) => strike.turn === turn.id);
  const dropped_at = isoText(moment());
  await queue.keep([{ ...turn, until: turn.until ?? dropped_at, dropped_at, dropped: gone.map(({ id }) => id) },
    ...queue.correctionsOf(gone, 'turn not all seen, dropped at the touchline')]);
}

/** The last thing that can be taken back: { strikes } of a tap or a called set, { turn } that was dropped, or null. */
export function lastAction() {
  const list = strikes();
  const last = list.at(-1);
  const turn = turns().filter(({ dropped_at }) => dropped_at).sort((one, other) => (one.dropped_at < other.dropped_at ? 1 : -1))[0];
  if (turn && !(last?.struck_at > turn.dropped_at)) return { turn };
  return last ? { strikes: last.source === 'tap' ? [last] : list.filter(({ set_id }) => set_id === last.set_id) } : null;
}

/** Takes the last action back and returns it. A dropped turn comes back as the same strikes under new ids. */
export async function undo() {
  await queue.settled(); // a strike that is just being written is the one meant
  const last = lastAction();
  if (last?.strikes) await queue.keep(queue.correctionsOf(last.strikes, 'undone at the touchline'));
  if (last?.turn) {
    await queue.keep([{ ...last.turn, dropped_at: null }, ...queue.strikesById(last.turn.dropped).map((strike) => (
      { ...strike, id: uuid7(Date.parse(strike.struck_at)), token: practice.token, state: 'waiting' }))]);
  }
  return last;
}
