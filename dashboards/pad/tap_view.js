import { clockText } from '/pad/clock.js';
import { button, element, setText } from '/pad/elements.js';
import { choices, group, groupCount, logTap, nameOf, nextPlayer, playerById, select, session, setInHand, showGroup,
  stageNow, strikes, swap } from '/pad/session.js';
import { buzz, say, tone } from '/pad/signals.js';

const LAST_SHOWN = 5;
const WIDE = matchMedia('(min-width: 1000px)');
const KEYS = {
  near: { over: 'E', left: 'S', hit: 'D', right: 'F', short: 'C', blocked: 'W' },
  far: { over: 'I', left: 'J', hit: 'K', right: 'L', short: 'M', blocked: 'O' },
};

/** Whether the players of the group stand side by side; else they take turns on the screen. */
export const isTogether = () => choices.together ?? WIDE.matches;

const hitWord = () => (stageNow() && !stageNow().is_gate ? 'on target' : 'through');

/** In the words of the screen what a strike did. */
function deedOf({ outcome, miss }, hit = hitWord()) {
  if (outcome !== 'off target') return outcome === 'blocked' ? 'blocked' : hit;
  return miss === 'left' || miss === 'right' ? `wide ${miss}` : (miss ?? 'off target');
}

/** One line about a strike, such as "Ana, left: through". */
export const strikeText = (strike) => `${nameOf(strike.player)}, ${strike.foot}: ${deedOf(strike)}`;

async function tap(player, foot, outcome, miss, trouble) {
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

/** The six targets of one foot of one player. `side` is where on the screen it stands: near left or far right. */
function footPanel(player, foot, side, trouble) {
  const flip = (direction) => (choices.mirrored ? { left: 'right', right: 'left' }[direction] : direction);
  const target = (place, outcome, miss) => {
    const word = deedOf({ outcome, miss });
    const isKeyed = player === session.active;
    return button(word, () => tap(player, foot, outcome, miss, trouble), {
      class: `target ${place}`, key: isKeyed && KEYS[side][place],
      'aria-label': `${nameOf(player)}, ${foot} foot: ${word}`, 'data-foot': foot, 'data-does': word,
    });
  };
  const hit = target('hit', 'on target', null);
  const [count, marks, done] = [element('b', { class: 'count' }), element('span', { class: 'marks', 'aria-hidden': 'true' }),
    element('span', { class: 'done-word', text: 'set done' })];
  hit.prepend(element('span', { class: 'foot' }, element('i', { class: 'shape' }), foot.toUpperCase()));
  hit.append(count, done, marks);
  const node = element('div', { class: `panel ${foot}`, role: 'group', 'aria-label': `${nameOf(player)}, ${foot} foot` },
    target('over', 'off target', 'over'), target('left', 'off target', flip('left')), hit,
    target('right', 'off target', flip('right')), target('short', 'off target', 'short'),
    target('blocked', 'blocked', null));
  return {
    node,
    refresh(list) {
      const set = setInHand(player, foot, { list });
      setText(count, `${set.onTarget} of ${set.attempts}`);
      const coming = Math.max(0, session.setSize - set.attempts);
      setText(marks, set.marks.map((isHit) => (isHit ? '●' : '○')).join('') + '·'.repeat(coming));
      node.classList.toggle('done', set.isDone);
    },
  };
}

/** The tap view. `trouble(error)` is told of a tap that could not be kept. Gives { node, refresh, press }. */
export function tapView(trouble) {
  const names = element('div', { class: 'names', role: 'group', 'aria-label': 'Who strikes' });
  const board = element('div', { class: 'board' });
  const last = element('ol', { class: 'last', 'aria-label': `Last ${LAST_SHOWN} strikes` });
  const definition = element('p', { class: 'definition' });
  const node = element('div', { class: 'tap-view' }, names, board, last, definition);
  let built = '';
  let panels = [];
  let swapping = null;

  const choosePlayer = (player) => {
    swapping = session.active === player && swapping !== player ? player : null;
    select({ active: player });
  };

  function swapList() {
    const others = session.order.filter((id) => id !== swapping).map((id) => button(nameOf(id), () => {
      const gone = swapping;
      swapping = null;
      swap(gone, id);
    }));
    return [element('h2', { text: `Who takes the place of ${nameOf(swapping)}?` }),
      element('div', { class: 'choices' }, button(`Keep ${nameOf(swapping)}`, () => choosePlayer(swapping)), ...others)];
  }

  function build() {
    const players = group();
    names.replaceChildren(
      button('‹', () => showGroup(session.group - 1), { class: 'arrow', 'aria-label': 'Group before', key: '[' }),
      ...players.map((id, place) => {
        const shirt = playerById(id)?.shirt_number;
        return button(nameOf(id), () => choosePlayer(id), {
          class: 'name', key: String(place + 1), 'aria-pressed': String(id === session.active), 'data-player': id,
          'aria-label': `${nameOf(id)}${shirt === null ? '' : `, number ${shirt}`}${id === session.active ? ', swap' : ''}`,
        });
      }),
      button('›', () => showGroup(session.group + 1), { class: 'arrow', 'aria-label': 'Next group', key: ']' }),
      element('span', { class: 'unseen', text: `Group ${session.group + 1} of ${groupCount()}` }));
    panels = [];
    if (swapping) {
      board.replaceChildren(...swapList());
      return;
    }
    const shown = isTogether() ? players : players.filter((id) => id === session.active);
    const feet = choices.mirrored ? ['right', 'left'] : ['left', 'right'];
    board.replaceChildren(...shown.map((id) => {
      const both = feet.map((foot, place) => footPanel(id, foot, ['near', 'far'][place], trouble));
      panels.push(...both);
      return element('section', { class: 'player', 'aria-label': nameOf(id) },
        element('h2', { text: nameOf(id) }), ...both.map((panel) => panel.node));
    }));
  }

  return {
    node,
    refresh() {
      const wanted = JSON.stringify([session.order, session.group, session.active, session.stage, choices.mirrored,
        choices.groupSize, isTogether(), swapping]);
      if (wanted !== built) build();
      built = wanted;
      board.classList.toggle('together', isTogether());
      const list = strikes();
      for (const panel of panels) panel.refresh(list);
      last.replaceChildren(...list.slice(-LAST_SHOWN).reverse().map((strike) => element('li', {},
        element('span', { text: strikeText(strike) }),
        element('span', { text: `${clockText(strike.struck_at, { seconds: true })} ${strike.state === 'stored' ? 'stored' : 'kept'}` }))));
      setText(definition, session.briefing.definition);
      // Where nothing scrolls, a thumb that slides still taps.
      const scroller = document.getElementById('view');
      scroller.classList.toggle('fits', scroller.scrollHeight <= scroller.clientHeight + 1);
    },
  };
}
