import { clockText } from './clock.js';
import { button, element, renew, setText } from './elements.js';
import { logTap, setInHand } from './log.js';
import { choose, chosen, group, nameOf, nextPlayer, practice, stageNow, stepGroup, strikes, swap } from './session.js';
import { buzz, say, tone } from './signals.js';

const LAST_SHOWN = 5;
const WIDE = matchMedia('(min-width: 1000px)');
const KEYS = [
  { over: 'E', left: 'S', hit: 'D', right: 'F', short: 'C', blocked: 'W' },
  { over: 'I', left: 'J', hit: 'K', right: 'L', short: 'M', blocked: 'O' },
];
const OPPOSITE = { left: 'right', right: 'left' };

export const isTogether = () => chosen.together ?? WIDE.matches;

function deedOf({ outcome, miss }) {
  if (outcome === 'on target') return stageNow().is_gate ? 'through' : outcome;
  return OPPOSITE[miss] ? `wide ${miss}` : miss ?? outcome;
}

export const strikeText = (strike) => `${nameOf(strike.player)}, ${strike.foot}: ${deedOf(strike)}`;

async function tap(player, foot, { outcome, miss }) {
  tone(outcome === 'on target');
  buzz(15);
  if (!(await logTap(player, foot, outcome, miss))) return;
  const { text, isDone } = setInHand(player, foot);
  if (isDone) buzz(40, 60, 40);
  say(`${nameOf(player)} ${foot}: ${text}`);
  if (chosen.alternating && !isTogether() && chosen.active === player) nextPlayer();
}

// The targets of one foot of `whose()`, on `side` 0 or 1 of the screen: placed as the logger sees them, labelled with
// the striker's own left and right.
function footPanel(whose, foot, side) {
  const target = (place, outcome, miss = null) => {
    const deed = { outcome, miss };
    const act = () => tap(whose(), foot, deed);
    return Object.assign(button('', act, { class: place, key: KEYS[side][place] }), { deed });
  };
  const wide = (place) => target(place, 'off target', chosen.mirrored ? OPPOSITE[place] : place);
  const hit = target('hit', 'on target');
  const [count, marks] = [element('b'), element('span', { class: 'marks', 'aria-hidden': true })];
  hit.prepend(element('span', { class: 'foot' }, element('i'), foot.toUpperCase()));
  hit.append(count, marks);
  const panel = element('div', { class: 'panel' }, target('over', 'off target', 'over'), wide('left'), hit,
    wide('right'), target('short', 'off target', 'short'), target('blocked', 'blocked'));
  return {
    node: element('div', { class: foot }, panel),
    refresh(list) {
      const set = setInHand(whose(), foot, list);
      for (const one of panel.children) {
        one.setAttribute('aria-label', `${nameOf(whose())}, ${foot} foot: ${deedOf(one.deed)}`);
        setText(one.querySelector('.word'), deedOf(one.deed));
      }
      setText(count, set.text);
      setText(marks, set.marks.map((isHit) => (isHit ? '●' : '○')).join('').padEnd(chosen.setSize, '·'));
      panel.classList.toggle('done', set.isDone);
      panel.classList.toggle('keyed', whose() === chosen.active);
    },
  };
}

export function tapView() {
  const [names, board] = ['names', 'board'].map((name) => element('div', { class: name }));
  const last = element('ol', { 'aria-label': 'Last strikes' });
  const node = element('div', { class: 'tap-view' }, names, board, last,
    element('p', {}, practice.briefing.definition));
  let built = '';
  let panels = [];
  let leaving = null; // the player who gives up a place in the group

  function chooseName(id) {
    leaving = chosen.active === id && !leaving ? id : null;
    choose({ active: id });
  }

  function replaceBy(id) {
    const gone = leaving;
    leaving = null;
    swap(gone, id);
  }

  const swapList = () => element('section', {}, element('h2', {}, `Who takes the place of ${nameOf(leaving)}?`),
    button(`Keep ${nameOf(leaving)}`, () => chooseName(leaving)),
    ...chosen.order.filter((id) => !group().includes(id)).map((id) => button(nameOf(id), () => replaceBy(id))));

  function playerSection(whose) {
    const feet = chosen.mirrored ? ['right', 'left'] : ['left', 'right'];
    const both = feet.map((foot, side) => footPanel(whose, foot, side));
    panels.push(...both);
    return element('div', { class: 'player' }, element('h2', {}, nameOf(whose())), ...both.map(({ node: one }) => one));
  }

  function build() {
    const arrow = (sign, label, key, step) => button(sign, () => stepGroup(step), { class: 'arrow', label, key });
    const named = group().map((id, place) => button(nameOf(id), () => chooseName(id),
      { class: 'name', key: String(place + 1), 'data-player': id }));
    renew(names, [arrow('‹', 'Group before', '[', -1), ...named, arrow('›', 'Next group', ']', 1)]);
    panels = [];
    renew(board, leaving ? [swapList()]
      : isTogether() ? group().map((id) => playerSection(() => id)) : [playerSection(() => chosen.active)]);
  }

  return {
    node,
    refresh() {
      const wanted = JSON.stringify([group(), chosen.mirrored, isTogether(), leaving]);
      if (wanted !== built) build();
      built = wanted;
      board.classList.toggle('together', isTogether());
      for (const one of names.querySelectorAll('.name')) {
        one.setAttribute('aria-pressed', one.dataset.player === chosen.active);
      }
      const list = strikes();
      for (const panel of panels) panel.refresh(list);
      last.replaceChildren(...list.slice(-LAST_SHOWN).reverse().map((strike) => element('li', {}, strikeText(strike),
        element('span', {}, `${strike.state === 'stored' ? '' : 'kept '}${clockText(strike.struck_at)}`))));
    },
  };
}
