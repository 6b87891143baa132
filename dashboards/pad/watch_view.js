import { clockText } from '/pad/clock.js';
import { button, element, renew } from '/pad/elements.js';
import { dropTurn, startTurn, turns } from '/pad/log.js';
import { coverage, group, nameOf, namesOf, practice, showPlayer, strikes } from '/pad/session.js';

const item = (title, words, ...more) => element('li', {}, element('p', {}, element('b', {}, title), element('span', {}, words)), ...more);

function coverageTable() {
  const counts = coverage();
  const row = (tag, scope, ...cells) => element('tr', {}, element('th', { scope }, cells[0]),
    ...cells.slice(1).map((text) => element(tag, { scope: tag === 'th' && 'col' }, String(text))));
  return element('table', {}, element('caption', {}, 'Strikes logged today'),
    element('thead', {}, row('th', 'col', 'Player', 'Left', 'Right')),
    element('tbody', {}, ...practice.briefing.players.map(({ player_id: id }) => (
      row('td', 'row', nameOf(id), counts[`${id} left`] ?? 0, counts[`${id} right`] ?? 0)))));
}

/** Whom to watch next and why, the turns, and how many strikes each foot has. `begun()` is called with a new turn. */
export function watchView(trouble, begun) {
  const node = element('div', { class: 'watch-view' });
  const begin = (player) => {
    showPlayer(player);
    startTurn().then(begun, trouble);
  };
  const watched = ({ player_id: id, foot, stage, reason }) => item(`${nameOf(id)}, ${foot} foot`,
    [stage, reason].filter(Boolean).join(': '), button('Start turn', () => begin(id), { label: `Start turn with ${nameOf(id)}` }));
  const turnItem = (turn, list) => item(namesOf(turn.players),
    `${clockText(turn.at)} to ${turn.until ? clockText(turn.until) : 'now'}, ${turn.dropped_at ? 'dropped; Undo brings it back'
      : `${list.filter((strike) => strike.turn === turn.id).length} strikes`}`,
    ...(turn.dropped_at ? [] : [button('Drop turn', () => dropTurn(turn).catch(trouble), { label: `Drop turn of ${namesOf(turn.players)}` })]));
  return {
    node,
    refresh() {
      const list = strikes();
      const { watch } = practice.briefing;
      renew(node, [
        element('section', {}, element('h2', {}, 'Whom to watch next'),
          element('p', {}, 'In a turn log everything these players do, or nothing. Drop a turn you could not watch to its end.'),
          watch.length ? element('ol', {}, ...watch.map(watched))
            : button(`Start turn: ${namesOf(group())}`, () => begin(group()[0]))),
        element('section', {}, element('h2', {}, 'Turns today'), element('ul', {}, ...turns().map((turn) => turnItem(turn, list)))),
        coverageTable()]);
    },
  };
}
