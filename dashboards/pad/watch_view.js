import { clockText } from './clock.js';
import { button, element, renew } from './elements.js';
import { dropTurn, startTurn, turns } from './log.js';
import { attemptsToday, choose, group, nameOf, namesOf, practice, showPlayer, strikes } from './session.js';

const item = (title, words, ...more) => (
  element('li', {}, element('p', {}, element('b', {}, title), words), ...more));

function coverageTable() {
  const head = (scope, text) => element('th', { scope }, text);
  return element('table', {}, element('caption', {}, 'Strikes logged today'),
    element('tr', {}, ...['Player', 'Left', 'Right'].map((text) => head('col', text))),
    ...practice.briefing.players.map(({ player_id: id }) => element('tr', {}, head('row', nameOf(id)),
      ...['left', 'right'].map((foot) => element('td', {}, String(attemptsToday(id, foot)))))));
}

export function watchView() {
  const node = element('div');

  function begin(player) {
    showPlayer(player);
    startTurn();
    choose({ view: 'tap' });
  }

  const watched = ({ player_id: id, foot, stage, reason }) => item(`${nameOf(id)}, ${foot} foot`, `${stage}: ${reason}`,
    button('Start turn', () => begin(id), { label: `Start turn with ${nameOf(id)}` }));

  function turnItem(turn) {
    const names = namesOf(turn.players);
    const times = `${clockText(turn.at)} to ${turn.until ? clockText(turn.until) : 'now'}`;
    if (turn.dropped_at) return item(names, `${times}, dropped; Undo brings it back`);
    const count = strikes().filter((one) => one.turn === turn.id).length;
    return item(names, `${times}, ${count} strike${count === 1 ? '' : 's'}`,
      button('Drop turn', () => dropTurn(turn), { label: `Drop turn of ${names}` }));
  }

  return {
    node,
    refresh() {
      const { watch } = practice.briefing;
      renew(node, [
        element('section', {}, element('h2', {}, 'Whom to watch next'),
          element('p', {}, 'In a turn log all these players do. Drop a turn you could not see to its end.'),
          watch.length ? element('ol', {}, ...watch.map(watched))
            : button(`Start turn: ${namesOf(group())}`, () => begin(group()[0]))),
        element('section', {}, element('h2', {}, 'Turns today'), element('ul', {}, ...turns().map(turnItem))),
        coverageTable()]);
    },
  };
}
