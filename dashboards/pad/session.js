// Which practice this is, how the phone is set, and what is selected.

import { nowMs, skew } from './clock.js';
import * as queue from './queue.js';
import { ask } from './server.js';
import * as storage from './storage.js';

export const practice = { briefing: null, token: null, trouble: null, isKept: false };

/** How the phone is set (`together` null: as the screen is wide) and what is selected; kept. */
export const chosen = {
  mirrored: false, together: null, alternating: false, dark: false, sound: false, keys: true,
  practice: null, order: [], groupSize: 2, group: 0, active: null,
  view: 'tap', foot: 'left', stage: null, surface: null, distance_m: null, setSize: 10,
};

export function choose(changes) {
  Object.assign(chosen, changes);
  queue.changed();
  storage.write([['chosen', { ...chosen }]]).catch(() => {});
}

export const practiceId = () => practice.briefing.practice.practice_id;
export const playerById = (id) => practice.briefing.players.find(({ player_id }) => player_id === id);
export function nameOf(id) {
  const { shirt_number: shirt, display_name: name } = playerById(id) ?? { display_name: 'somebody who left' };
  return shirt ? `${shirt} ${name}` : name;
}
export const namesOf = (ids) => ids.map(nameOf).join(' and ');
export const stageNow = () => practice.briefing.stages.find(({ name }) => name === chosen.stage);
export const hasEnded = () => nowMs() > Date.parse(practice.briefing.expires_at);

/** The player ids of a group, or of the one shown. */
export function group(place = chosen.group) {
  return chosen.order.slice(place * chosen.groupSize, (place + 1) * chosen.groupSize);
}
export const groupCount = () => Math.ceil(chosen.order.length / chosen.groupSize);

export const strikes = () => queue.notVoid().filter((one) => one.practice === practiceId() && one.state !== 'rejected');

/** Takes practice and pass from the address, or what was open last. */
export async function open() {
  Object.assign(chosen, await storage.recall('chosen'));
  Object.assign(skew, await storage.recall('skew'));
  const id = new URLSearchParams(location.search).get('practice') ?? chosen.practice;
  practice.token = location.hash.slice(1) || await storage.recall(`pass/${id}`);
  if (location.hash) {
    try {
      await storage.write([[`pass/${id}`, practice.token]]);
      history.replaceState(null, '', location.pathname + location.search); // no pass over a shoulder
    } catch { /* then it has to stay in the address */ }
  }
  const briefing = await storage.recall(`briefing/${id}`);
  practice.isKept = Boolean(briefing);
  if (briefing) take(briefing);
}

function take(briefing) {
  practice.briefing = briefing;
  const ids = briefing.players.map(({ player_id }) => player_id);
  chosen.order = [...new Set([...chosen.order.filter((id) => ids.includes(id)), ...ids])];
  if (!group().includes(chosen.active)) Object.assign(chosen, { group: 0, active: chosen.order[0] });
  if (chosen.practice !== practiceId() || !stageNow()) goToStage(briefing.watch[0]?.stage ?? briefing.stages[0].name);
  choose({ practice: practiceId() });
}

/** Asks the server for the practice, and keeps what it says for the field. */
export async function refresh() {
  try {
    take(await ask('/api/practice', practice.token));
    practice.trouble = null;
    await storage.write([[`briefing/${practiceId()}`, practice.briefing], [`pass/${practiceId()}`, practice.token]]);
    practice.isKept = true;
    await queue.forgetOthers(practiceId());
  } catch (error) {
    practice.trouble = error.status ? error.message : 'no connection';
  }
  queue.changed();
}

/** Attempts of a foot today: what the server counted when last asked, and what changed here since. */
export function attemptsToday(player, foot) {
  const { today, server_time } = practice.briefing;
  const isKnown = (record) => record?.stored_at < server_time;
  const wasCounted = (one) => isKnown(one) && !isKnown(queue.correctionOf(one));
  const counts = (one) => one.state !== 'rejected' && !queue.correctionOf(one);
  return queue.select((one) => one.practice === practiceId() && one.player === player && one.foot === foot
    && one.outcome !== 'blocked').reduce((sum, one) => sum + counts(one) - wasCounted(one),
    today.find((one) => one.player_id === player && one.foot === foot)?.attempts ?? 0);
}

function goToStage(stage) {
  chosen.stage = stage;
  const { surfaces: [surface], distance_m, set_sizes: sizes } = stageNow() ?? practice.briefing.stages[0];
  const setSize = sizes.includes(chosen.setSize) ? chosen.setSize : sizes[0];
  Object.assign(chosen, { surface, distance_m, setSize });
}

export function stepStage(step) {
  const { stages } = practice.briefing;
  const next = stages[stages.indexOf(stageNow()) + step];
  if (next) goToStage(next.name);
  choose({});
}

export function showPlayer(active) {
  choose({ active, group: Math.floor(chosen.order.indexOf(active) / chosen.groupSize) });
}

export const stepGroup = (step) => showPlayer(group((chosen.group + step + groupCount()) % groupCount())[0]);

export const swap = (one, other) => choose({
  order: chosen.order.map((id) => ({ [one]: other, [other]: one }[id] ?? id)), active: other,
});

export const nextPlayer = () => choose({ active: group()[(group().indexOf(chosen.active) + 1) % group().length] });
