import { button, element, setText } from './elements.js';
import { logSet } from './log.js';
import { choose, chosen, nameOf, showPlayer, strikes } from './session.js';
import { buzz, say } from './signals.js';

const LARGEST_SET = 20;
const FEET = ['left', 'right'];

/** A player's last called sets at this stage: "left 7 of 10". */
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

export function callOutView() {
  const feet = FEET.map((foot) => button(foot.toUpperCase(), () => choose({ foot }),
    { class: foot, key: foot[0].toUpperCase() }));
  feet.forEach((one) => one.prepend(element('i')));
  const [footRow, sizeRow, rows, numbers] = ['row', 'row', 'rows', 'numbers']
    .map((name) => element('div', { class: name }));
  const asked = element('h2');
  const resize = (sign, label, step) => button(sign, () => choose({
    setSize: Math.min(Math.max(chosen.setSize + step, 1), LARGEST_SET) }), { class: 'arrow', label });
  const size = button('', () => choose({ setSize: chosen.setSize === 10 ? 5 : 10 }));
  size.append(element('small', {}, '5 or 10'));
  sizeRow.append(resize('−', 'Shorter set', -1), size, resize('+', 'Longer set', 1));
  // Size above the list: no digit comes under the finger that changes it.
  const node = element('div', { class: 'call-out-view' }, footRow, sizeRow, rows, asked, numbers);
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
    numbers.replaceChildren(button('Skip', moveOn, { key: 'X' }),
      ...Array.from({ length: Math.max(chosen.setSize, 10) + 1 }, (_, number) => button(String(number),
        () => call(number), { key: number < 10 ? String(number) : number === 10 && 'T',
          disabled: number > chosen.setSize })));
  }

  return {
    node,
    refresh() {
      const wanted = JSON.stringify([chosen.order, chosen.setSize, chosen.mirrored]);
      if (wanted !== built) build();
      built = wanted;
      for (const row of rows.children) {
        const isUp = row.dataset.player === chosen.active;
        const top = row.offsetTop - rows.offsetTop;
        const isSeen = top >= rows.scrollTop && top + row.offsetHeight <= rows.scrollTop + rows.clientHeight;
        if (isUp && row.ariaPressed !== 'true' && !isSeen) rows.scrollTop = top;
        row.setAttribute('aria-pressed', isUp);
        setText(row.lastChild, calledText(row.dataset.player));
      }
      feet.forEach((one, place) => one.setAttribute('aria-pressed', FEET[place] === chosen.foot));
      setText(asked, `${nameOf(chosen.active)}, ${chosen.foot}: how many?`);
      setText(size.firstChild, `set of ${chosen.setSize}`);
    },
  };
}
