import { clockText } from '/pad/clock.js';
import { button, element, renew } from '/pad/elements.js';
import { coverage, dropTurn, group, nameOf, select, session, showPlayer, startTurn, strikes } from '/pad/session.js';

function startFor(player) {
  showPlayer(player);
  startTurn();
  select({ view: 'tap' });
}

function watchItem({ player_id, foot, stage, reason }) {
  return element('li', {},
    element('p', {}, element('b', { text: `${nameOf(player_id)}, ${foot} foot` }),
      element('span', { text: [stage, reason].filter(Boolean).join(': ') })),
    button('Start turn', () => startFor(player_id), { 'aria-label': `Start turn with ${nameOf(player_id)}` }));
}

function turnItem(turn, list, trouble) {
  const count = list.filter((strike) => strike.turn === turn.turn_id).length;
  const until = turn.ended_at ? clockText(turn.ended_at) : 'now';
  const says = turn.dropped_at ? 'dropped; Undo brings it back' : `${count} strikes`;
  const item = element('li', {}, element('p', {}, element('b', { text: turn.players.map(nameOf).join(' and ') }),
    element('span', { text: `${clockText(turn.started_at)} to ${until}, ${says}` })));
  if (!turn.dropped_at) {
    item.append(button('Drop turn', () => dropTurn(turn.turn_id).catch(trouble),
      { 'aria-label': `Drop turn of ${turn.players.map(nameOf).join(' and ')}` }));
  }
  return item;
}

function coverageTable() {
  const counts = coverage();
  const cell = (player, foot) => element('td', { text: String(counts[`${player} ${foot}`] ?? 0) });
  return element('table', {}, element('caption', { text: 'Strikes logged today' }),
    element('thead', {}, element('tr', {}, ...['Player', 'Left', 'Right'].map((text) => element('th', { scope: 'col', text })))),
    element('tbody', {}, ...session.briefing.players.map(({ player_id: id }) => element('tr', {},
      element('th', { scope: 'row', text: nameOf(id) }), cell(id, 'left'), cell(id, 'right')))));
}

/** Whom to watch next and why, the turns so far, and how many strikes each foot has. Gives { node, refresh }. */
export function watchView(trouble) {
  const node = element('div', { class: 'watch-view' });
  return {
    node,
    refresh() {
      const { watch } = session.briefing;
      const list = strikes();
      const turns = [...session.turns].reverse();
      renew(node, [
        element('h2', { text: 'Whom to watch next' }),
        element('p', { text: 'In a turn log everything those players do, or nothing. A turn you could not watch to its end is best dropped.' }),
        watch.length ? element('ol', { class: 'list' }, ...watch.map(watchItem))
          : element('p', {}, button(`Start turn: ${group().map(nameOf).join(' and ')}`, () => startFor(group()[0]))),
        element('h2', { text: 'Turns today' }),
        turns.length ? element('ul', { class: 'list' }, ...turns.map((turn) => turnItem(turn, list, trouble)))
          : element('p', { text: 'None yet.' }),
        coverageTable()]);
    },
  };
}
