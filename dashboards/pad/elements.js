const SAME_TAP_MS = 250; // a wet screen taps twice
const ECHO_MS = 160;
const SLIP_PX = 12;
let liftedAt = -Infinity; // from any button: the click may reach one put in its place

/** Makes an element. Attributes without a value are left out; children that are strings are shown as text. */
export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) if (value ?? false) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

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

/** Does `act` on a press: the echo comes as the finger lands; it counts as it lifts, not where it slid off. */
function onPress(node, act) {
  let [pressedAt, echo] = [-Infinity, 0];
  const fingers = new Set();
  const isTwice = ({ timeStamp }) => node.disabled || timeStamp - pressedAt < SAME_TAP_MS;
  const light = (isOn) => {
    clearTimeout(echo);
    node.classList.toggle('flash', isOn);
  };
  const press = (event) => {
    if (isTwice(event)) return;
    pressedAt = event.timeStamp;
    light(true);
    echo = setTimeout(light, ECHO_MS, false);
    act();
  };
  node.addEventListener('pointerdown', (event) => {
    if (event.button !== 0 || isTwice(event)) return;
    fingers.add(event.pointerId);
    node.setPointerCapture(event.pointerId);
    light(true);
  });
  node.addEventListener('pointercancel', (event) => fingers.delete(event.pointerId) && light(false));
  node.addEventListener('pointerup', (event) => {
    liftedAt = event.timeStamp;
    if (!fingers.delete(event.pointerId)) return;
    const { x, y, width, height } = node.getBoundingClientRect();
    const isOn = (distance, size) => distance > -SLIP_PX && distance < size + SLIP_PX;
    if (isOn(event.clientX - x, width) && isOn(event.clientY - y, height)) press(event);
    else light(false);
  });
  node.addEventListener('click', (event) => {
    if (event.detail === 0 || event.timeStamp - liftedAt > 2 * SAME_TAP_MS) press(event);
  });
}

/** Gives `node` new children, and the focus back to its place. */
export function renew(node, children) {
  const place = [...node.querySelectorAll('button')].indexOf(document.activeElement);
  node.replaceChildren(...children);
  if (place >= 0) node.querySelectorAll('button')[place]?.focus();
}
