import { clockText } from '/pad/clock.js';
import { button, element, renew } from '/pad/elements.js';
import { abilities, readyWord } from '/pad/offline.js';
import * as queue from '/pad/queue.js';
import { choices, choose, nameOf, session, showGroup } from '/pad/session.js';
import { saveToFile } from '/pad/strike_file.js';
import { isTogether, strikeText } from '/pad/tap_view.js';

const GROUP_SIZES = [2, 3, 4, 8];
const SWITCHES = [
  ['mirrored', 'I face the players: mirror left and right'],
  ['together', 'Show the players of a group side by side'],
  ['alternating', 'After each strike the next player is up'],
  ['dark', 'Dark screen'],
  ['sound', 'Sound: high for on target, low for off'],
  ['vibration', 'Vibrate, where the phone can'],
  ['keys', 'Single keys log strikes'],
];
const isOn = (name) => (name === 'together' ? isTogether() : choices[name]);

function setOfSwitches() {
  return SWITCHES.map(([name, words]) => button(words, () => choose({ [name]: !isOn(name) }),
    { role: 'switch', 'aria-checked': String(isOn(name)), 'data-choice': name }));
}

function groups() {
  const size = choices.groupSize;
  const next = GROUP_SIZES[(GROUP_SIZES.indexOf(size) + 1) % GROUP_SIZES.length];
  const made = [];
  for (let start = 0; start < session.order.length; start += size) {
    made.push(button(session.order.slice(start, start + size).map(nameOf).join(' and '), () => showGroup(start / size),
      { 'aria-pressed': String(start / size === session.group) }));
  }
  return [button(`Groups of ${size}; make them ${next}`, () => { choose({ groupSize: next }); showGroup(0); }), ...made];
}

function refusedList() {
  const refused = queue.rejected();
  if (!refused.length) return [];
  return [element('p', { text: `The server refused ${refused.length}. They do not count, and stay here:` }),
    element('ul', { class: 'list' }, ...refused.map((record) => element('li', {}, element('p', {},
      element('b', { text: 'player' in record ? strikeText(record) : 'An undo' }), element('span', { text: record.why }))))),
    button('Offer them again', queue.offerAgain)];
}

function delivered() {
  const { trouble, at } = queue.delivery;
  const count = queue.waitingCount();
  const line = count ? `${count} kept on this phone and not yet with the server.` : 'The server has everything.';
  return [element('p', { text: at ? `${line} It last answered at ${clockText(at)}.` : line }),
    ...[...new Set([trouble, session.trouble])].filter((one) => one && one !== 'unreachable')
      .map((sentence) => element('p', { class: 'alarm', text: sentence })),
    ...refusedList(),
    button('Save to file', saveToFile),
    element('p', { text: 'The last resort: give the file to the coach, who imports it. What arrives twice is stored once.' })];
}

const section = (heading, ...children) => element('section', {}, element('h2', { text: heading }), ...children);

/** Settings, groups, delivery, and what the phone can do. Gives { node, refresh }. */
export function moreView() {
  const node = element('div', { class: 'more-view' });
  return {
    node,
    refresh() {
      const { squad, logger, practice, expires_at, definition } = session.briefing;
      renew(node, [
        section('How this phone is set', ...setOfSwitches(),
          element('p', { text: 'Stand behind or beside the striker if you can. LEFT and RIGHT are always the striker’s own.' })),
        section('Delivery', ...delivered()),
        section(readyWord(), element('ul', { class: 'abilities' }, ...abilities().map(([what, , words]) => element('li', {},
          element('b', { text: what }), element('span', { text: words }))))),
        section('Pairs and groups', ...groups(),
          element('p', { text: 'To change who is in a group: in the tap view tap the name of the player who is up.' })),
        section('This practice', element('p', { text: definition }),
          element('p', { text: `${squad}, ${practice.held_on} ${practice.label}. Logged by ${logger}; the pass ends ${new Date(expires_at).toLocaleString()}.` }))]);
    },
  };
}
