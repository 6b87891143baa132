import { button, element, setText } from './elements.js';
import { logSet } from './log.js';
import { choose, chosen, nameOf, showPlayer, strikes } from './session.js';
import { buzz, say } from './signals.js';

const LARGEST_SET = 20;
const ROW_PX = 72;
const FEET = ['left', 'right'];

/** What a player was called out for last at this stage, as "left 7 of 10". */
function calledText(player) {
  const called = strikes().filter((one) => one.player === player && one.source === 'call-out'
    && one.stage === chosen.stage);
  return FEET.flatMap((foot) => {
    const last = called.findLast((one) => one.foot === foot);
    const set = called.filter(({ set_id }) => set_id === last?.set_id);
    return last ? `${foot} ${set.filter(({ outcome }) => outcome === 'on target').length} of ${set.length}` : [];
  }).join(', ');
}

const moveOn = () => showPlayer(chosen.order[(chosen.order.indexOf(chosen.active) + 1) % chosen.order.length]);

/** Whose set, which foot, how many; one tap a set. */
export function callOutView() {
  const feet = FEET.map((foot) => button(foot.toUpperCase(), () => choose({ foot }),
    { class: foot, key: foot[0].toUpperCase() }));
  feet.forEach((one) => one.prepend(element('i')));
  const [footRow, rows, numbers] = ['row', 'rows', 'numbers'].map((name) => element('div', { class: name }));
  const [asked, size] = [element('h2'), element('output')];
  const resize = (sign, label, step) => button(sign, () => choose({
    setSize: Math.min(Math.max(chosen.setSize + step, 1), LARGEST_SET) }), { class: 'arrow', label });
  const node = element('div', { class: 'call-out-view' }, footRow, rows, asked, numbers);
  let built = '';

  async function call(number) {
    const { active: player, foot, setSize } = chosen;
    buzz(15);
    const kept = logSet(player, foot, number);
    moveOn(); // at once, so that the next number is the next player's
    if (await kept) say(`${nameOf(player)} ${foot}: ${number} of ${setSize}. Next: ${nameOf(chosen.active)}`);
    else showPlayer(player);
  }

  function build() {
    footRow.replaceChildren(...(chosen.mirrored ? [...feet].reverse() : feet));
    rows.replaceChildren(...chosen.order.map((id) => button(nameOf(id), () => showPlayer(id), { 'data-player': id })));
    for (const row of rows.children) row.append(element('small'));
    numbers.replaceChildren(...Array.from({ length: chosen.setSize + 1 }, (_, number) => (
      button(String(number), () => call(number), { key: number < 10 ? String(number) : number === 10 && 'T' }))),
    button('Skip', moveOn, { key: 'X' }), resize('−', 'Shorter set', -1), size, resize('+', 'Longer set', 1));
  }

  return {
    node,
    refresh() {
      const wanted = JSON.stringify([chosen.order, chosen.setSize, chosen.mirrored]);
      if (wanted !== built) build();
      built = wanted;
      for (const row of rows.children) {
        const isUp = row.dataset.player === chosen.active;
        if (isUp && row.ariaPressed !== 'true') rows.scrollTop = row.offsetTop - rows.offsetTop - ROW_PX;
        row.setAttribute('aria-pressed', isUp);
        setText(row.lastChild, calledText(row.dataset.player));
      }
      feet.forEach((one, place) => one.setAttribute('aria-pressed', FEET[place] === chosen.foot));
      setText(asked, `${nameOf(chosen.active)}, ${chosen.foot}: how many?`);
      setText(size, `set of ${chosen.setSize}`);
    },
  };
}
