// Which practice this is, how the phone is set, and what is selected.

import { nowMs, recallBounds } from '/pad/clock.js';
import * as queue from '/pad/queue.js';
import { ask, Refused } from '/pad/server.js';
import * as storage from '/pad/storage.js';

/** How this phone is set, whatever the practice. `together` null leaves it to the width of the screen. */
export const choices = {
  mirrored: false, together: null, alternating: false, dark: false, sound: false, vibration: true, keys: true, groupSize: 2,
};

/** `briefing` as the server gave it, the pass, what the server said when asked in vain, attempts on other phones. */
export const practice = { briefing: null, token: null, trouble: null, isKept: false, elsewhere: {} };

/** What is selected; kept through reloads. `order` holds player ids; groups are cut from it. */
export const selection = {
  order: [], group: 0, active: null, foot: 'left', stage: null, surface: null, distance_m: null, setSize: 10,
};

let redraw = () => {};

/** Calls `draw` after every change. */
export const onChange = (draw) => { redraw = draw; };

export const practiceId = () => practice.briefing.practice.practice_id;
export const playerById = (id) => practice.briefing.players.find((player) => player.player_id === id);
export const nameOf = (id) => playerById(id)?.display_name ?? 'somebody who left';
export const namesOf = (ids) => ids.map(nameOf).join(' and ');
export const stageNow = () => practice.briefing.stages.find((stage) => stage.name === selection.stage);
export const hasEnded = () => nowMs() > Date.parse(practice.briefing.expires_at);

/** The players of the group shown, and of all groups. */
export const groups = () => Array.from({ length: Math.ceil(selection.order.length / choices.groupSize) },
  (_, place) => selection.order.slice(place * choices.groupSize, (place + 1) * choices.groupSize));
export const group = () => groups()[selection.group] ?? [];

/** Strikes of this practice on this phone that count. */
export const strikes = () => queue.valid().filter((strike) => strike.practice === practiceId());

/** Reads practice and pass from the address, or else takes what was open last. */
export async function open() {
  Object.assign(choices, await storage.recall('choices'));
  recallBounds(await storage.recall('clock'));
  const id = new URLSearchParams(location.search).get('practice') ?? await storage.recall('last');
  const token = decodeURIComponent(location.hash.slice(1));
  if (token) {
    try {
      await storage.write([[`pass/${id}`, token], ['last', id]]);
      history.replaceState(null, '', location.pathname + location.search); // no pass for those who look over a shoulder
    } catch { /* then it has to stay in the address */ }
  }
  practice.token = token || await storage.recall(`pass/${id}`);
  const kept = await storage.recall(`briefing/${id}`);
  if (!kept) return;
  await take(kept.briefing);
  Object.assign(practice, { elsewhere: kept.elsewhere, isKept: true });
}

async function take(briefing) {
  const isFirst = !practice.briefing;
  practice.briefing = briefing;
  if (isFirst) Object.assign(selection, await storage.recall(`selection/${practiceId()}`));
  const ids = briefing.players.map((player) => player.player_id);
  selection.order = [...new Set([...selection.order.filter((id) => ids.includes(id)), ...ids])];
  if (!groups()[selection.group]) selection.group = 0;
  if (!group().includes(selection.active)) selection.active = group()[0];
  if (!stageNow()) goToStage(briefing.watch[0]?.stage ?? briefing.stages[0]?.name);
}

/** Asks the server for the practice, and keeps what it says for a field without a network. */
export async function refresh() {
  const isQuiet = () => practice.briefing && queue.waitingCount() === 0;
  const wasQuiet = !practice.briefing || isQuiet();
  const mine = practice.briefing ? attempts(strikes()) : {};
  try {
    const briefing = await ask('/api/practice', practice.token);
    await take(briefing);
    practice.trouble = null;
    if (wasQuiet && isQuiet()) { // else its counts may or may not have ours in them
      practice.elsewhere = Object.fromEntries(briefing.today.map(({ player_id, foot, attempts: all }) => (
        [`${player_id} ${foot}`, Math.max(0, all - (mine[`${player_id} ${foot}`] ?? 0))])));
    }
    await storage.write([[`briefing/${practiceId()}`, { briefing, elsewhere: practice.elsewhere }],
      [`pass/${practiceId()}`, practice.token], ['last', practiceId()]]);
    practice.isKept = true;
    await queue.forgetOthers(practiceId());
  } catch (error) {
    practice.trouble = error instanceof Refused ? error.message : 'unreachable';
  }
  redraw();
}

function attempts(list) {
  const counts = {};
  for (const { player, foot, outcome } of list) {
    counts[`${player} ${foot}`] = (counts[`${player} ${foot}`] ?? 0) + (outcome !== 'blocked');
  }
  return counts;
}

/** Attempts of this practice as { "player foot": count }: on this phone, and on others when the server was last asked. */
export function coverage() {
  const counts = attempts(strikes());
  for (const [key, count] of Object.entries(practice.elsewhere)) counts[key] = (counts[key] ?? 0) + count;
  return counts;
}

/** Selects, draws, and keeps the selection. */
export function select(changes) {
  Object.assign(selection, changes);
  redraw();
  storage.write([[`selection/${practiceId()}`, { ...selection }]]).catch(() => {});
}

/** Sets the phone, draws, and keeps the setting. */
export function choose(changes) {
  Object.assign(choices, changes);
  redraw();
  storage.write([['choices', { ...choices }]]).catch(() => {});
}

function goToStage(name) {
  selection.stage = name ?? null;
  const { surfaces = [null], distance_m = null, set_sizes = [10] } = stageNow() ?? {};
  Object.assign(selection, { surface: surfaces[0], distance_m, setSize: set_sizes[0] });
}

/** Goes to the stage so many further on, with its own surface, distance and set size. */
export function stepStage(step) {
  const { stages } = practice.briefing;
  goToStage(stages[(stages.indexOf(stageNow()) + step + stages.length) % stages.length]?.name);
  select({});
}

/** Shows a group, and its first player or the one named. */
export function showGroup(place, player) {
  const wrapped = (place + groups().length) % groups().length;
  select({ group: wrapped, active: player ?? groups()[wrapped][0] });
}

/** Shows the group a player is in. */
export const showPlayer = (player) => showGroup(groups().findIndex((ids) => ids.includes(player)), player);

/** Two players change places in the order. */
export const swap = (one, other) => select({
  order: selection.order.map((id) => ({ [one]: other, [other]: one }[id] ?? id)), active: other,
});

/** The next player of the group is up. */
export const nextPlayer = () => select({ active: group()[(group().indexOf(selection.active) + 1) % group().length] });
