const SAME_TAP_MS = 250; // a wet screen taps twice
const ECHO_MS = 160;
const SLIP_PX = 12;

/** Makes an element. Attributes without a value are left out; strings among the children are shown as text. */
export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) if (value ?? false) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

/** Changes a text only where it differs: nothing is read out twice. */
export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** A button that does `act`. `key` is its key on a keyboard, `label` what a screen reader says. */
export function button(word, act, { key, label, ...attributes } = {}) {
  const made = element('button', { type: 'button', 'aria-keyshortcuts': key, 'aria-label': label, ...attributes },
    element('span', { class: 'word' }, word));
  if (key) made.append(element('kbd', { 'aria-hidden': true }, key));
  onPress(made, act);
  return made;
}

/**
 * Does `act` on a press by finger, mouse, keyboard or screen reader: on lifting, so that sliding off takes it back, but
 * a thumb that slips a little counts. The same press within 250 ms does not. The echo comes first.
 */
function onPress(node, act) {
  let [pressedAt, liftedAt, echo] = [-Infinity, -Infinity, 0];
  const fingers = new Set();
  const press = ({ timeStamp }) => {
    if (node.disabled || timeStamp - pressedAt < SAME_TAP_MS) return;
    pressedAt = timeStamp;
    node.classList.add('flash');
    clearTimeout(echo);
    echo = setTimeout(() => node.classList.remove('flash'), ECHO_MS);
    act();
  };
  node.addEventListener('pointerdown', (event) => event.button === 0 && fingers.add(event.pointerId));
  node.addEventListener('pointercancel', (event) => fingers.delete(event.pointerId));
  node.addEventListener('pointerup', (event) => {
    if (!fingers.delete(event.pointerId)) return;
    liftedAt = event.timeStamp;
    const { left, right, top, bottom } = node.getBoundingClientRect();
    const { clientX: x, clientY: y } = event;
    if (x > left - SLIP_PX && x < right + SLIP_PX && y > top - SLIP_PX && y < bottom + SLIP_PX) press(event);
  });
  node.addEventListener('click', (event) => {
    if (event.detail === 0 || event.timeStamp - liftedAt > 2 * SAME_TAP_MS) press(event);
  });
}

/** Gives `node` new children, and the focus back to the button in the same place. */
export function renew(node, children) {
  const place = [...node.querySelectorAll('button')].indexOf(document.activeElement);
  node.replaceChildren(...children);
  if (place >= 0) node.querySelectorAll('button')[place]?.focus();
}
