// Which practice this is, how the phone is set, and what is selected.

import { nowMs, recallBounds } from './clock.js';
import * as queue from './queue.js';
import { ask, Refused } from './server.js';
import * as storage from './storage.js';

/** How this phone is set. `together` null leaves it to the width of the screen. */
export const choices = {
  mirrored: false, together: null, alternating: false, dark: false, sound: false, vibration: true, keys: true, groupSize: 2,
};

/** The practice as the server described it, the pass, and what went wrong when it was last asked. */
export const practice = { briefing: null, token: null, trouble: null, isKept: false };

/** What is selected. `order` holds player ids; groups are cut from it. */
export const selection = {
  order: [], group: 0, active: null, foot: 'left', stage: null, surface: null, distance_m: null, setSize: 10,
};

let redraw = () => {};

export const onChange = (draw) => { redraw = draw; };

export const practiceId = () => practice.briefing.practice.practice_id;
export const playerById = (id) => practice.briefing.players.find(({ player_id }) => player_id === id);
export function nameOf(id) {
  const { shirt_number: shirt, display_name: name } = playerById(id) ?? { display_name: 'somebody who left' };
  return shirt ? `${shirt} ${name}` : name;
}
export const namesOf = (ids) => ids.map(nameOf).join(' and ');
export const stageNow = () => practice.briefing.stages.find(({ name }) => name === selection.stage);
export const hasEnded = () => nowMs() > Date.parse(practice.briefing.expires_at);

/** The player ids of a group; without a number, of the one shown. */
export const group = (place = selection.group) => selection.order.slice(place * choices.groupSize, (place + 1) * choices.groupSize);
export const groupCount = () => Math.ceil(selection.order.length / choices.groupSize);

/** Strikes of this practice on this phone that count. */
export const strikes = () => queue.valid().filter((strike) => strike.practice === practiceId());

/** Reads practice and pass from the address, or else takes what was open last. */
export async function open() {
  Object.assign(choices, await storage.recall('choices'));
  recallBounds(await storage.recall('clock'));
  const id = new URLSearchParams(location.search).get('practice') ?? await storage.recall('last');
  practice.token = location.hash.slice(1) || await storage.recall(`pass/${id}`);
  if (location.hash) {
    try {
      await storage.write([[`pass/${id}`, practice.token], ['last', id]]);
      history.replaceState(null, '', location.pathname + location.search); // no pass for eyes over a shoulder
    } catch { /* then it has to stay in the address */ }
  }
  const briefing = await storage.recall(`briefing/${id}`);
  practice.isKept = Boolean(briefing);
  if (briefing) await take(briefing);
}

async function take(briefing) {
  const isFirst = !practice.briefing;
  practice.briefing = briefing;
  if (isFirst) Object.assign(selection, await storage.recall(`selection/${practiceId()}`));
  const ids = briefing.players.map(({ player_id }) => player_id);
  selection.order = [...new Set([...selection.order.filter((id) => ids.includes(id)), ...ids])];
  if (!group().includes(selection.active)) Object.assign(selection, { group: 0, active: selection.order[0] });
  if (!stageNow()) goToStage(briefing.watch[0]?.stage ?? briefing.stages[0]?.name);
}

/** Asks the server for the practice, and keeps what it says for a field without a network. */
export async function refresh() {
  try {
    await take(await ask('/api/practice', practice.token));
    practice.trouble = null;
    const id = practiceId();
    await storage.write([[`briefing/${id}`, practice.briefing], [`pass/${id}`, practice.token], ['last', id]]);
    practice.isKept = true;
    await queue.forgetOthers(id);
  } catch (error) {
    practice.trouble = error instanceof Refused ? error.message : 'unreachable';
  }
  redraw();
}

/** Attempts of a foot today: what the server knew when it was last asked, and what came since. */
export function attemptsToday(player, foot) {
  const { today, server_time } = practice.briefing;
  const known = today.find((one) => one.player_id === player && one.foot === foot)?.attempts ?? 0;
  return known + strikes().filter((one) => one.player === player && one.foot === foot && one.outcome !== 'blocked'
    && Date.parse(one.struck_at) > Date.parse(server_time)).length;
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

/** Shows a player, in whatever group. */
export const showPlayer = (player) => select({ active: player, group: Math.floor(selection.order.indexOf(player) / choices.groupSize) });

/** Shows the first player of the group so many further on. */
export const stepGroup = (step) => showPlayer(group((selection.group + step + groupCount()) % groupCount())[0]);

/** Two players change places. */
export const swap = (one, other) => select({
  order: selection.order.map((id) => ({ [one]: other, [other]: one }[id] ?? id)), active: other,
});

export const nextPlayer = () => select({ active: group()[(group().indexOf(selection.active) + 1) % group().length] });
