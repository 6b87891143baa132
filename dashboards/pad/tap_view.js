import { clockText } from '/pad/clock.js';
import { button, element, keepingFocus, setText } from '/pad/elements.js';
import { choices, group, groupCount, logTap, nameOf, nextPlayer, playerById, select, session, setInHand, showGroup,
  stageNow, strikes, swap } from '/pad/session.js';
import { buzz, say, tone } from '/pad/signals.js';

const LAST_SHOWN = 5;
const WIDE = matchMedia('(min-width: 1000px)');
const KEYS = [
  { over: 'E', left: 'S', hit: 'D', right: 'F', short: 'C', blocked: 'W' },
  { over: 'I', left: 'J', hit: 'K', right: 'L', short: 'M', blocked: 'O' },
];
const OTHER_SIDE = { left: 'right', right: 'left' };

/** Whether the players of the group stand side by side; else one is shown at a time. */
export const isTogether = () => choices.together ?? WIDE.matches;

/** What a strike did, in the words on the targets. */
function deedOf({ outcome, miss }) {
  if (outcome === 'blocked') return 'blocked';
  if (outcome === 'on target') return stageNow()?.is_gate === false ? 'on target' : 'through';
  return miss in OTHER_SIDE ? `wide ${miss}` : (miss ?? 'off target');
}

/** One line about a strike, such as "Ana, left: through". */
export const strikeText = (strike) => `${nameOf(strike.player)}, ${strike.foot}: ${deedOf(strike)}`;

async function tap(player, foot, { outcome, miss }, trouble) {
  tone(outcome === 'on target');
  buzz(15);
  try {
    await logTap(player, foot, outcome, miss);
  } catch (error) {
    trouble(error);
    return;
  }
  const set = setInHand(player, foot);
  if (outcome !== 'blocked' && set.isDone) buzz(40, 60, 40);
  say(`${nameOf(player)} ${foot}: ${set.onTarget} of ${set.attempts}${set.isDone ? ', set done' : ''}`);
  if (choices.alternating && !isTogether() && session.active === player) nextPlayer();
}

/**
 * The six targets of one foot of the player that `whose()` names. `side` is 0 for the left half of the screen, 1 for
 * the right. Where things stand follows what somebody beside the logger sees; what is written is the striker's own.
 */
function footPanel(whose, foot, side, trouble) {
  const target = (place, outcome, miss = null) => {
    const made = button(deedOf({ outcome, miss }), () => tap(whose(), foot, { outcome, miss }, trouble),
      { class: `target ${place}`, key: KEYS[side][place], 'data-foot': foot, 'data-outcome': outcome, 'data-miss': miss });
    return Object.assign(made, { deed: { outcome, miss } });
  };
  const wide = (place) => target(place, 'off target', choices.mirrored ? OTHER_SIDE[place] : place);
  const hit = target('hit', 'on target');
  const count = element('b', { class: 'count' });
  const marks = element('span', { class: 'marks', 'aria-hidden': 'true' });
  hit.prepend(element('span', { class: 'foot' }, element('i', { class: 'shape' }), foot.toUpperCase()));
  hit.append(count, marks);
  const targets = [target('over', 'off target', 'over'), wide('left'), hit, wide('right'),
    target('short', 'off target', 'short'), target('blocked', 'blocked')];
  const node = element('div', { class: `panel ${foot}`, role: 'group' }, ...targets);
  return {
    node,
    refresh(list) {
      const player = whose();
      const set = setInHand(player, foot, { list });
      node.setAttribute('aria-label', `${nameOf(player)}, ${foot} foot`);
      for (const one of targets) one.setAttribute('aria-label', `${nameOf(player)}, ${foot} foot: ${deedOf(one.deed)}`);
      setText(hit.querySelector('.word'), deedOf(hit.deed));
      setText(count, `${set.onTarget} of ${set.attempts}${set.isDone ? ', set done' : ''}`);
      setText(marks, set.marks.map((isHit) => (isHit ? '●' : '○')).join('')
        + '·'.repeat(Math.max(0, session.setSize - set.attempts)));
      node.classList.toggle('done', set.isDone);
      node.classList.toggle('keyed', player === session.active);
    },
  };
}

/** The tap view. `trouble(error)` is told of a tap that could not be kept. Gives { node, refresh }. */
export function tapView(trouble) {
  const names = element('div', { class: 'names', role: 'group', 'aria-label': 'Who strikes' });
  const board = element('div', { class: 'board' });
  const last = element('ol', { class: 'last', 'aria-label': `Last ${LAST_SHOWN} strikes` });
  const definition = element('p', { class: 'definition' });
  const node = element('div', { class: 'tap-view' }, names, board, last, definition);
  let built = '';
  let panels = [];
  let leaving = null; // the player who is about to be swapped

  function chooseName(id) {
    leaving = session.active === id && leaving !== id ? id : null;
    select({ active: id });
  }

  const nameButton = (id, place) => button(nameOf(id), () => chooseName(id),
    { class: 'name', key: String(place + 1), 'data-player': id });

  function swapList() {
    const take = (id) => () => {
      const gone = leaving;
      leaving = null;
      swap(gone, id);
    };
    return [element('h2', { text: `Who takes the place of ${nameOf(leaving)}?` }), element('div', { class: 'choices' },
      button(`Keep ${nameOf(leaving)}`, () => chooseName(leaving)),
      ...session.order.filter((id) => !group().includes(id)).map((id) => button(nameOf(id), take(id))))];
  }

  function playerSection(whose) {
    const feet = choices.mirrored ? ['right', 'left'] : ['left', 'right'];
    const both = feet.map((foot, side) => footPanel(whose, foot, side, trouble));
    panels.push(...both);
    return element('section', { class: 'player' }, element('h2', { text: nameOf(whose()) }), ...both.map((one) => one.node));
  }

  function build() {
    const players = group();
    names.replaceChildren(
      button('‹', () => showGroup(session.group - 1), { class: 'arrow', 'aria-label': 'Group before', key: '[' }),
      ...players.map(nameButton),
      button('›', () => showGroup(session.group + 1), { class: 'arrow', 'aria-label': 'Next group', key: ']' }));
    panels = [];
    if (leaving) board.replaceChildren(...swapList());
    else if (isTogether()) board.replaceChildren(...players.map((id) => playerSection(() => id)));
    else board.replaceChildren(playerSection(() => session.active));
  }

  function refreshNames() {
    names.setAttribute('aria-label', `Who strikes, group ${session.group + 1} of ${groupCount()}`);
    for (const one of names.querySelectorAll('.name')) {
      const { player: id } = one.dataset;
      const isUp = id === session.active;
      const shirt = playerById(id).shirt_number;
      one.setAttribute('aria-pressed', String(isUp));
      one.setAttribute('aria-label', `${nameOf(id)}${shirt === null ? '' : `, number ${shirt}`}${isUp ? ', up; swap' : ''}`);
    }
  }

  return {
    node,
    refresh() {
      const wanted = JSON.stringify([group(), choices.mirrored, isTogether(), leaving]);
      if (wanted !== built) keepingFocus(node, build);
      built = wanted;
      board.classList.toggle('together', isTogether());
      refreshNames();
      const list = strikes();
      for (const panel of panels) panel.refresh(list);
      last.replaceChildren(...list.slice(-LAST_SHOWN).reverse().map((strike) => element('li', {},
        element('span', { text: strikeText(strike) }), element('span', {
          text: `${strike.state === 'stored' ? 'stored' : 'kept'} ${clockText(strike.struck_at, { seconds: true })}` }))));
      setText(definition, session.briefing.definition);
    },
  };
}
