import { button, element, setText } from '/pad/elements.js';
import { choices, logSet, nameOf, select, session, strikes } from '/pad/session.js';
import { buzz, say } from '/pad/signals.js';

const LARGEST_SET = 20;

/** What a player's feet were called for last at this stage, as { "player foot": "7 of 10" }. */
function lastCalled() {
  const called = {};
  for (const strike of strikes().filter((one) => one.source === 'call-out' && one.stage === session.stage)) {
    const key = `${strike.player} ${strike.foot}`;
    if (called[key]?.set_id !== strike.set_id) called[key] = { set_id: strike.set_id, hits: 0, of: 0 };
    called[key].of += 1;
    called[key].hits += strike.outcome === 'on target';
  }
  return Object.fromEntries(Object.entries(called).map(([key, { hits, of }]) => [key, `${hits} of ${of}`]));
}

/** The call-out view: one tap a set. Gives { node, refresh }. */
export function callOutView(trouble) {
  const feet = {};
  for (const foot of ['left', 'right']) {
    feet[foot] = button(`${foot.toUpperCase()} foot`, () => select({ foot }), { class: `foot-choice ${foot}`, key: foot[0].toUpperCase() });
    feet[foot].prepend(element('i', { class: 'shape' }));
  }
  const footRow = element('div', { class: 'row feet' });
  const size = element('output');
  const rows = element('div', { class: 'rows', role: 'group', 'aria-label': 'Whose set' });
  const asked = element('p', { class: 'asked' });
  const numbers = element('div', { class: 'numbers', role: 'group', 'aria-label': 'How many on target' });
  const resize = (step) => select({ setSize: Math.min(Math.max(session.setSize + step, 1), LARGEST_SET) });
  const node = element('div', { class: 'call-out-view' }, footRow, rows, element('div', { class: 'calls' }, asked, numbers,
    element('div', { class: 'row' }, button('−', () => resize(-1), { class: 'arrow', 'aria-label': 'Shorter set' }), size,
      button('+', () => resize(1), { class: 'arrow', 'aria-label': 'Longer set' }),
      button('Skip', () => moveOn(), { key: 'X' }))));
  let built = '';
  let marked = null;

  const moveOn = (from = session.active) => {
    const place = (session.order.indexOf(from) + 1) % session.order.length;
    if (place === 0) say(`All asked, ${session.foot} foot`);
    select({ active: session.order[place], group: Math.floor(place / choices.groupSize) });
  };

  async function call(number) {
    const { active: player, foot, setSize } = session;
    moveOn(); // at once, so that the next number is the next player's
    buzz(15);
    try {
      await logSet(player, foot, number);
      say(`${nameOf(player)} ${foot}: ${number} of ${setSize}. Next ${nameOf(session.active)}`);
    } catch (error) {
      select({ active: player });
      trouble(error);
    }
  }

  function build() {
    footRow.replaceChildren(...(choices.mirrored ? [feet.right, feet.left] : [feet.left, feet.right]));
    rows.replaceChildren(...session.order.map((id) => button(nameOf(id), () => select({ active: id }), { 'data-player': id })));
    for (const row of rows.children) row.append(element('span', { class: 'called' }));
    numbers.replaceChildren(...Array.from({ length: session.setSize + 1 }, (_, number) => button(String(number),
      () => call(number), { key: number < 10 ? String(number) : number === 10 && 'T' })));
  }

  return {
    node,
    refresh() {
      const wanted = JSON.stringify([session.order, session.setSize, choices.mirrored]);
      if (wanted !== built) build();
      built = wanted;
      const called = lastCalled();
      for (const row of rows.children) {
        const id = row.dataset.player;
        row.setAttribute('aria-pressed', String(id === session.active));
        const told = ['left', 'right'].filter((foot) => called[`${id} ${foot}`])
          .map((foot) => `${foot} ${called[`${id} ${foot}`]}`);
        setText(row.lastChild, told.join(', '));
        if (id === session.active && marked !== id && node.isConnected) {
          row.scrollIntoView({ block: 'nearest' });
          marked = id;
        }
      }
      for (const [foot, made] of Object.entries(feet)) made.setAttribute('aria-pressed', String(foot === session.foot));
      setText(asked, `${nameOf(session.active)}, ${session.foot} foot: how many of ${session.setSize}?`);
      setText(size, `set of ${session.setSize}`);
    },
  };
}
