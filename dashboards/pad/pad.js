// Starts the page, and ties its views to the status line, the bar with Undo, and the keyboard.

import { callOutView } from './call_out_view.js';
import { clockText } from './clock.js';
import { button, element, setText } from './elements.js';
import { endTurn, lastAction, openTurn, startTurn, undo } from './log.js';
import { moreView } from './more_view.js';
import { keepPage, readyWord } from './offline.js';
import * as queue from './queue.js';
import { chosen, hasEnded, nameOf, onChange, open, practice, practiceId, refresh, strikes } from './session.js';
import { buzz, say, stayAwake } from './signals.js';
import * as storage from './storage.js';
import { strip } from './strip.js';
import { strikeText, tapView } from './tap_view.js';
import { watchView } from './watch_view.js';

const [FASTEST, FASTEST_OVER_MS] = [24, 120000]; // one logger keeps up with 12 strikes a minute
const ALARM_MS = 15000;
const [header, standing, main, footer] = ['header', '[role=status]', 'main', 'footer']
  .map((name) => document.querySelector(name));
const undoButton = button('Undo', () => undo().then((last) => say(`Undone: ${actionText(last)}`), trouble),
  { class: 'undo', key: 'U' });
const turnButton = button('', () => (openTurn() ? endTurn() : startTurn()).catch(trouble), { key: 'Q' });
let [views, given, shown, alarm] = [null, null, 'tap', ''];

/** A tap that could not be kept does not count, and the page says so. */
function trouble(error) {
  alarm = `NOT kept, does not count: ${error.message}`;
  buzz(200);
  draw();
  setTimeout(() => { alarm = ''; }, ALARM_MS);
}

function actionText(action) {
  if (!action?.strikes) return action ? 'dropped turn' : '';
  const [first] = action.strikes;
  if (first.source === 'tap') return strikeText(first);
  const hits = action.strikes.filter(({ outcome }) => outcome === 'on target').length;
  return `${nameOf(first.player)}, ${first.foot}: ${hits} of ${action.strikes.length}`;
}

/** The honest line: what is only on this phone, and what the server has. */
function standingText() {
  const [waiting, refused, why] = [queue.waitingCount(), queue.rejected().length, queue.delivery.trouble];
  if (alarm) return alarm;
  if (hasEnded()) return `Pass ended ${clockText(practice.briefing.expires_at)}: ask for a new one`;
  if (refused) return `${refused} refused: see ≡`;
  const how = why === 'unreachable' ? 'no connection' : 'pass refused: see ≡';
  if (waiting) return `${waiting} kept on this phone, ${why ? how : 'sending'}`;
  const pace = strikes().filter(({ source }) => source === 'tap').at(-FASTEST)?.struck_at_phone;
  if (Date.now() - Date.parse(pace) < FASTEST_OVER_MS) return 'Over 12 a minute: watch fewer, or share';
  return strikes().length ? `all stored ${queue.delivery.at ? clockText(queue.delivery.at) : ''}` : readyWord();
}

function draw() {
  document.documentElement.dataset.theme = chosen.dark ? 'dark' : 'light';
  document.body.classList.toggle('keys', chosen.keys);
  if (!views) return;
  const view = views[shown];
  if (!view.node.isConnected) main.replaceChildren(view.node);
  given.refresh();
  view.refresh();
  setText(standing, standingText());
  standing.classList.toggle('alarm', Boolean(alarm) || hasEnded() || queue.rejected().length > 0);
  const last = lastAction();
  undoButton.disabled = !last;
  setText(undoButton.lastChild, actionText(last));
  setText(turnButton.firstChild, openTurn() ? 'End turn' : 'Start turn');
  turnButton.setAttribute('aria-pressed', Boolean(openTurn()));
  // Where all targets are in sight nothing needs to scroll: a thumb that slides on wet glass still taps.
  const room = main.offsetTop + main.clientHeight + 1;
  const { offsetTop, offsetHeight } = main.querySelector('.board') ?? {};
  main.classList.toggle('fits', offsetTop + offsetHeight <= room);
}

function show(view) {
  shown = view;
  draw();
  main.scrollTop = 0;
  if (view === 'watch') refresh();
}

function onKey({ key, repeat, ctrlKey, altKey, metaKey }) {
  if (!chosen.keys || repeat || ctrlKey || altKey || metaKey || key.length > 1) return;
  const named = `[aria-keyshortcuts="${CSS.escape(key.toUpperCase())}"]`;
  (document.querySelector(`.keyed ${named}`) ?? document.querySelector(`button:not(.panel *)${named}`))?.click();
}

function whyNot() {
  if (!practice.token) return 'Open this page with the code the coach shows. None is kept on this phone.';
  return practice.trouble === 'unreachable' ? 'No connection to the server: reload where there is.' : practice.trouble;
}

async function start() {
  await storage.open();
  await queue.load();
  await open();
  if (!practice.briefing && practice.token) await refresh();
  if (!practice.briefing) {
    main.replaceChildren(element('p', { class: 'alarm' }, whyNot()));
    return;
  }
  given = strip();
  const watch = watchView(trouble, () => show('tap'));
  views = { tap: tapView(trouble), call: callOutView(trouble), watch, more: moreView(show) };
  undoButton.append(element('small'));
  header.append(given.node);
  footer.append(undoButton, turnButton,
    button('≡', () => show(shown === 'more' ? 'tap' : 'more'), { class: 'arrow', label: 'Views and settings' }));
  onChange(draw);
  queue.listen(draw);
  queue.start((id) => (id === practiceId() ? practice.token : null));
  addEventListener('keydown', onKey);
  addEventListener('resize', draw);
  addEventListener('contextmenu', (event) => event.preventDefault());
  document.addEventListener('visibilitychange', () => stayAwake().then(draw));
  setInterval(draw, 30000); // the pass ends, the pace eases
  await Promise.all([refresh(), keepPage(), stayAwake()]);
  draw();
}

addEventListener('hashchange', () => location.reload());
start().catch((error) => { main.textContent = `The page could not start: ${error.message}`; });
