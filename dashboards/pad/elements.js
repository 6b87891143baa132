const SAME_TAP_MS = 250; // a wet screen taps twice
const ECHO_MS = 160;
const SLIP_PX = 12;

/** Makes an element. `text` is shown as text, whatever it holds; other names are attributes, left out when false. */
export function element(tag, { text, ...attributes } = {}, ...children) {
  const made = document.createElement(tag);
  if (text !== undefined) made.textContent = text;
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value === true ? '' : value);
  }
  made.append(...children);
  return made;
}

/** Changes a text only where it differs, so that nothing is drawn or read out twice. */
export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** A button with a word on it that does `act` when pressed. `key` is its key on a keyboard. */
export function button(word, act, { key, ...attributes } = {}) {
  const made = element('button', { type: 'button', 'aria-keyshortcuts': key, ...attributes },
    element('span', { class: 'word', text: word }));
  if (key) made.append(element('kbd', { text: key, 'aria-hidden': 'true' }));
  onPress(made, act);
  return made;
}

/** The echo of a press, before anything else happens. */
export function flash(node) {
  node.classList.add('flash');
  clearTimeout(node.echo);
  node.echo = setTimeout(() => node.classList.remove('flash'), ECHO_MS);
}

/**
 * Does `act` when a button is pressed: by finger, mouse, keyboard or screen reader, on lifting, so that a press can
 * be taken back by sliding off. A thumb that slips a little still counts; the same press within 250 ms does not.
 */
export function onPress(node, act) {
  let pressedAt = -Infinity;
  let liftedAt = -Infinity;
  const fingers = new Set();
  const press = (event) => {
    if (node.disabled || event.timeStamp - pressedAt < SAME_TAP_MS) return;
    pressedAt = event.timeStamp;
    flash(node);
    act(event);
  };
  const leave = (event) => {
    node.classList.remove('down');
    return fingers.delete(event.pointerId);
  };
  node.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    fingers.add(event.pointerId);
    node.classList.add('down');
  });
  node.addEventListener('pointerup', (event) => {
    if (!leave(event)) return;
    liftedAt = event.timeStamp;
    const { left, right, top, bottom } = node.getBoundingClientRect();
    const { clientX: x, clientY: y } = event;
    if (x > left - SLIP_PX && x < right + SLIP_PX && y > top - SLIP_PX && y < bottom + SLIP_PX) press(event);
  });
  node.addEventListener('pointercancel', leave);
  node.addEventListener('pointerleave', (event) => { if (event.pointerType === 'mouse') leave(event); });
  node.addEventListener('click', (event) => {
    if (event.detail === 0 || event.timeStamp - liftedAt > 2 * SAME_TAP_MS) press(event);
  });
}

/** Runs `build`, which makes the buttons of `node` anew, and puts the focus back where it was. */
export function keepingFocus(node, build) {
  const place = [...node.querySelectorAll('button')].indexOf(document.activeElement);
  build();
  if (place >= 0 && !node.contains(document.activeElement)) node.querySelectorAll('button')[place]?.focus();
}

/** Puts fresh children in the place of old ones, but leaves those alone that are the same: one may be being pressed. */
export function renew(node, fresh) {
  keepingFocus(node, () => {
    fresh.forEach((child, place) => {
      child.made = child.outerHTML;
      const old = node.children[place];
      if (!old) node.append(child);
      else if (old.made !== child.made) old.replaceWith(child);
    });
    while (node.children.length > fresh.length) node.lastChild.remove();
  });
}
