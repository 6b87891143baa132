import { clockText } from './clock.js';
import { button, element, renew } from './elements.js';
import { abilities, readyWord } from './offline.js';
import * as queue from './queue.js';
import { choices, choose, group, groupCount, namesOf, practice, selection, showPlayer } from './session.js';
import { saveToFile } from './strike_file.js';
import { isTogether, strikeText } from './tap_view.js';

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

const paragraph = (text) => element('p', {}, text);
const alarm = (text) => element('p', { class: 'alarm' }, text);

function switches() {
  return Object.entries(SWITCHES).map(([name, words]) => {
    const isOn = name === 'together' ? isTogether() : choices[name];
    return button(words, () => choose({ [name]: !isOn }), { role: 'switch', 'aria-checked': String(isOn), 'data-choice': name });
  });
}

function groupButtons() {
  const next = GROUP_SIZES[(GROUP_SIZES.indexOf(choices.groupSize) + 1) % GROUP_SIZES.length];
  const regroup = () => {
    choose({ groupSize: next });
    showPlayer(selection.active);
  };
  return [button(`Groups of ${choices.groupSize}; make them ${next}`, regroup), ...Array.from({ length: groupCount() }, (_, place) => (
    button(namesOf(group(place)), () => showPlayer(group(place)[0]), { 'aria-pressed': String(place === selection.group) })))];
}

function delivered() {
  const { trouble, at } = queue.delivery;
  const [count, refused] = [queue.waitingCount(), queue.rejected()];
  return [paragraph(count ? `${count} wait on this phone.` : 'The server has everything.'),
    at ? paragraph(`It last answered at ${clockText(at)}.`) : '',
    ...[...new Set([trouble, practice.trouble])].filter((one) => one && one !== 'unreachable').map(alarm),
    ...(refused.length ? [alarm(`${refused.length} refused. They do not count, and stay here:`),
      element('ul', {}, ...refused.map((one) => element('li', {}, `${one.foot ? strikeText(one) : 'an undo'}: ${one.why}`))),
      button('Offer them again', queue.offerAgain)] : []),
    button('Save to file', saveToFile),
    paragraph('The last resort: the coach imports the file. What arrives twice is stored once.')];
}

/** The way to the other views, and everything that is set or looked up rarely. `show(view)` goes to a view. */
export function moreView(show) {
  const node = element('div');
  const section = (heading, ...children) => element('section', {}, element('h2', {}, heading), ...children);
  return {
    node,
    refresh() {
      const { squad, logger, practice: { held_on, label }, expires_at, definition } = practice.briefing;
      renew(node, [
        element('nav', { 'aria-label': 'Views' }, ...Object.entries({ tap: 'Tap', call: 'Call-out', watch: 'Watch' })
          .map(([view, name]) => button(name, () => show(view)))),
        section('Delivery', ...delivered()),
        section(readyWord(), element('ul', {}, ...abilities().map(([what, words]) => element('li', {}, `${what} ${words}`)))),
        section('Pairs and groups', paragraph('To swap players: in the tap view tap the name of the one who is up.'), ...groupButtons()),
        section('This phone', paragraph('Stand behind or beside the striker. LEFT and RIGHT are the striker’s own.'), ...switches()),
        section('This practice', paragraph(definition), paragraph(
          `${squad}, ${held_on} ${label}. Logged by ${logger}; the pass ends ${new Date(expires_at).toLocaleString()}.`))]);
    },
  };
}
