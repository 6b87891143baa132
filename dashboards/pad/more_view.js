import { clockText } from '/pad/clock.js';
import { button, element, renew } from '/pad/elements.js';
import { abilities, readyWord } from '/pad/offline.js';
import * as queue from '/pad/queue.js';
import { choices, choose, groups, namesOf, practice, selection, showGroup } from '/pad/session.js';
import { saveToFile } from '/pad/strike_file.js';
import { isTogether, strikeText } from '/pad/tap_view.js';

const GROUP_SIZES = [2, 3, 4, 8];
const SWITCHES = {
  mirrored: 'I face the players: mirror left and right',
  together: 'Players of a group side by side',
  alternating: 'Next player after each strike',
  dark: 'Dark screen',
  sound: 'Sound: high on target, low off',
  vibration: 'Vibrate, where the phone can',
  keys: 'Single keys log strikes',
};

function switches() {
  return Object.entries(SWITCHES).map(([name, words]) => {
    const isOn = name === 'together' ? isTogether() : choices[name];
    return button(words, () => choose({ [name]: !isOn }), { role: 'switch', 'aria-checked': isOn, 'data-choice': name });
  });
}

function groupButtons() {
  const next = GROUP_SIZES[(GROUP_SIZES.indexOf(choices.groupSize) + 1) % GROUP_SIZES.length];
  const regroup = () => {
    choose({ groupSize: next });
    showGroup(0);
  };
  return [button(`Groups of ${choices.groupSize}; make them ${next}`, regroup), ...groups().map((ids, place) => (
    button(namesOf(ids), () => showGroup(place), { 'aria-pressed': place === selection.group })))];
}

function refused() {
  const list = queue.rejected();
  return list.length ? [element('p', { class: 'alarm' }, `${list.length} refused. They do not count, and stay here:`),
    element('ul', {}, ...list.map((one) => element('li', {}, `${one.foot ? strikeText(one) : 'an undo'}: ${one.why}`))),
    button('Offer them again', queue.offerAgain)] : [];
}

function delivered() {
  const { trouble, at } = queue.delivery;
  const count = queue.waitingCount();
  const sentences = new Set([trouble, practice.trouble]);
  return [element('p', {}, `${count ? `${count} wait on this phone.` : 'The server has everything.'} ${at ? `It last answered at ${clockText(at)}.` : ''}`),
    ...[...sentences].filter((one) => one && one !== 'unreachable').map((one) => element('p', { class: 'alarm' }, one)),
    ...refused(), button('Save to file', saveToFile),
    element('p', {}, 'The last resort: the coach imports the file. What arrives twice is stored once.')];
}

/** The way to the other views, settings, groups, delivery, and what the phone can do here. `show(view)` goes there. */
export function moreView(show) {
  const node = element('div', { class: 'more-view' });
  const section = (heading, ...children) => element('section', {}, element('h2', {}, heading), ...children);
  return {
    node,
    refresh() {
      const { squad, logger, practice: { held_on, label }, expires_at, definition } = practice.briefing;
      renew(node, [
        element('nav', { 'aria-label': 'Views' }, button('Tap', () => show('tap')), button('Call-out', () => show('call')),
          button('Watch', () => show('watch'))),
        section('Delivery', ...delivered()),
        section(readyWord(), element('ul', {}, ...abilities().map(([what, words]) => element('li', {}, element('b', {}, what), ` ${words}`)))),
        section('Pairs and groups', element('p', {}, 'To swap players: in the tap view tap the name of the one who is up.'), ...groupButtons()),
        section('This phone', element('p', {}, 'Stand behind or beside the striker. LEFT and RIGHT are the striker’s own.'), ...switches()),
        section('This practice', element('p', {}, definition), element('p', {},
          `${squad}, ${held_on} ${label}. Logged by ${logger}; the pass ends ${new Date(expires_at).toLocaleString()}.`))]);
    },
  };
}
