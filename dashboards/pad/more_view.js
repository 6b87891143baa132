import { clockText } from './clock.js';
import { button, element, renew } from './elements.js';
import { abilities, readyWord } from './offline.js';
import * as queue from './queue.js';
import { choose, chosen, practice, showPlayer } from './session.js';
import { saveToFile } from './strike_file.js';
import { isTogether, strikeText } from './tap_view.js';

const VIEWS = { tap: 'Tap', call: 'Call-out', watch: 'Watch' };
const LARGEST_GROUP = 8;
const SWITCHES = {
  mirrored: 'I face the players: mirror left and right',
  together: 'Players of a group side by side',
  alternating: 'Next player after each strike',
  dark: 'Dark screen',
  sound: 'Sound: high on target, low off',
  keys: 'Single keys log strikes',
};

const paragraph = (text) => element('p', {}, text);
const warning = (text) => element('p', { class: 'alarm' }, text);
const bullets = (texts) => element('ul', {}, ...texts.map((text) => element('li', {}, text)));
const section = (heading, ...children) => element('section', {}, element('h2', {}, heading), ...children);

function switches() {
  return Object.entries(SWITCHES).map(([name, words]) => {
    const isOn = name === 'together' ? isTogether() : chosen[name];
    return button(words, () => choose({ [name]: !isOn }), { role: 'switch', 'aria-checked': String(isOn) });
  });
}

function regroup() {
  choose({ groupSize: (chosen.groupSize % LARGEST_GROUP) + 1 });
  showPlayer(chosen.active);
}

function delivered() {
  const { trouble, at } = queue.delivery;
  const [count, refused] = [queue.waitingCount(), queue.rejected()];
  const sentences = [...new Set([trouble, practice.trouble])].filter((one) => one && (count || one !== 'no connection'));
  return [
    paragraph(count ? `${count} wait on this phone.` : 'The server has everything.'),
    paragraph(at ? `It last took some at ${clockText(at)}.` : ''),
    ...sentences.map(warning),
    ...(refused.length ? [warning(`${refused.length} refused. They do not count, and stay here:`),
      bullets(refused.map((one) => `${one.foot ? strikeText(one) : 'an undo'}: ${one.why}`)),
      button('Offer them again', queue.offerAgain)] : []),
    button('Save to file', saveToFile),
    paragraph('The last resort: the coach imports the file. What comes twice is stored once.')];
}

export function moreView() {
  const node = element('div');
  return {
    node,
    refresh() {
      const { squad, logger, practice: { held_on, label }, expires_at } = practice.briefing;
      renew(node, [
        element('nav', {}, ...Object.entries(VIEWS).map(([view, name]) => button(name, () => choose({ view })))),
        section('Sent to the computer', ...delivered()),
        section(readyWord(), bullets(abilities())),
        section('This phone', paragraph('Stand behind or beside the striker. LEFT and RIGHT are the striker’s own.'),
          ...switches(), button(`Players in groups of ${chosen.groupSize}`, regroup),
          paragraph('To swap players, tap the name of the one who is up.'),
          paragraph(`${squad}, ${held_on} ${label}. Logged by ${logger}, until ${clockText(expires_at)}.`))]);
    },
  };
}
