const SAME_TAP_MS = 250; // a wet screen taps twice
const ECHO_MS = 160;
const SLIP_PX = 12;

/** Makes an element. Attributes that are false or missing are left out; children that are strings are shown as text. */
export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) if (value ?? false) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

/** Changes a text only where it differs, so that nothing is read out twice. */
export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** A button with a word on it that does `act`. `key` is its key on a keyboard, `label` what a screen reader says. */
export function button(word, act, { key, label, ...attributes } = {}) {
  const made = element('button', { type: 'button', 'aria-keyshortcuts': key, 'aria-label': label, ...attributes },
    element('span', { class: 'word' }, word));
  if (key) made.append(element('kbd', { 'aria-hidden': true }, key));
  onPress(made, act);
  return made;
}

/**
 * Does `act` when a button is pressed by finger, mouse, keyboard or screen reader: on lifting, so that sliding off takes
 * it back, but a thumb that slips a little still counts. The same press within 250 ms does not. First comes the echo.
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
  node.addEventListener('pointerdown', ({ button: which, pointerId }) => which === 0 && fingers.add(pointerId));
  node.addEventListener('pointercancel', ({ pointerId }) => fingers.delete(pointerId));
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

/** Runs `build`, which makes buttons of `node` anew, and puts the focus back where it was. */
export function keepingFocus(node, build) {
  const place = [...node.querySelectorAll('button')].indexOf(document.activeElement);
  build();
  if (place >= 0 && !node.contains(document.activeElement)) node.querySelectorAll('button')[place]?.focus();
}

/** Gives `node` fresh children, but leaves alone those that say the same: one of them may be being pressed. */
export const renew = (node, fresh) => keepingFocus(node, () => fresh.forEach((child, place) => {
  child.made = child.outerHTML;
  const old = node.children[place];
  if (!old) node.append(child);
  else if (old.made !== child.made) old.replaceWith(child);
}));
