import { button, element, setText } from '/pad/elements.js';
import { logSet } from '/pad/log.js';
import { choices, nameOf, select, selection, strikes } from '/pad/session.js';
import { buzz, say } from '/pad/signals.js';

const LARGEST_SET = 20;
const FEET = ['left', 'right'];

/** What each foot was called out for last at this stage, as "left 7 of 10, right 5 of 10". */
function calledText(player) {
  const called = strikes().filter((one) => one.player === player && one.source === 'call-out' && one.stage === selection.stage);
  return FEET.flatMap((foot) => {
    const { set_id } = called.findLast((one) => one.foot === foot) ?? {};
    const set = called.filter((one) => one.set_id === set_id);
    return set.length ? `${foot} ${set.filter((one) => one.outcome === 'on target').length} of ${set.length}` : [];
  }).join(', ');
}

function moveOn() {
  const place = (selection.order.indexOf(selection.active) + 1) % selection.order.length;
  select({ active: selection.order[place], group: Math.floor(place / choices.groupSize) });
}

/** The call-out view: whose set, which foot, and how many; one tap a set. `trouble(error)` hears of one not kept. */
export function callOutView(trouble) {
  const feet = FEET.map((foot) => button(`${foot.toUpperCase()} foot`, () => select({ foot }), { class: foot, key: foot[0].toUpperCase() }));
  feet.forEach((one) => one.prepend(element('i')));
  const [rows, numbers] = ['Whose set', 'How many on target'].map((label) => element('div', { role: 'group', 'aria-label': label }));
  const [asked, size] = [element('p', { class: 'asked' }), element('output')];
  const resize = (step) => select({ setSize: Math.min(Math.max(selection.setSize + step, 1), LARGEST_SET) });
  const footRow = element('div', { class: 'row' });
  rows.className = 'rows';
  numbers.className = 'numbers';
  const node = element('div', { class: 'call-out-view' }, footRow, rows, asked, numbers, element('div', { class: 'row' },
    button('−', () => resize(-1), { class: 'arrow', label: 'Shorter set' }), size,
    button('+', () => resize(1), { class: 'arrow', label: 'Longer set' }), button('Skip', moveOn, { key: 'X' })));
  let built = '';

  async function call(number) {
    const { active: player, foot, setSize } = selection;
    buzz(15);
    const kept = logSet(player, foot, number);
    moveOn(); // at once, so that the next number is the next player's
    try {
      await kept;
      say(`${nameOf(player)} ${foot}: ${number} of ${setSize}. Next: ${nameOf(selection.active)}`);
    } catch (error) {
      select({ active: player });
      trouble(error);
    }
  }

  return {
    node,
    refresh() {
      const wanted = JSON.stringify([selection.order, selection.setSize, choices.mirrored]);
      if (wanted !== built) {
        footRow.replaceChildren(...(choices.mirrored ? [...feet].reverse() : feet));
        rows.replaceChildren(...selection.order.map((id) => button(nameOf(id), () => select({ active: id }), { 'data-player': id })));
        for (const row of rows.children) row.append(element('small'));
        numbers.replaceChildren(...Array.from({ length: selection.setSize + 1 }, (_, number) => (
          button(String(number), () => call(number), { key: ['T', String(number)][Number(number < 10)] }))));
      }
      for (const row of rows.children) {
        const isUp = row.dataset.player === selection.active;
        if (isUp && row.getAttribute('aria-pressed') !== 'true') requestAnimationFrame(() => row.scrollIntoView({ block: 'nearest' }));
        row.setAttribute('aria-pressed', isUp);
        setText(row.lastChild, calledText(row.dataset.player));
      }
      feet.forEach((one) => one.setAttribute('aria-pressed', one.className === selection.foot));
      setText(asked, `${nameOf(selection.active)}, ${selection.foot} foot: how many of ${selection.setSize}?`);
      setText(size, `set of ${selection.setSize}`);
      built = wanted;
    },
  };
}
