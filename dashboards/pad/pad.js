// Starts the page, and ties its views to the bar with Undo, to the status line and to the keyboard.

import { callOutView } from './call_out_view.js';
import { clockText } from './clock.js';
import { button, element, setText } from './elements.js';
import { endTurn, lastAction, openTurn, startTurn, undo } from './log.js';
import { moreView } from './more_view.js';
import { keepPage, readyWord } from './offline.js';
import * as queue from './queue.js';
import { choices, hasEnded, nameOf, onChange, open, practice, practiceId, refresh, strikes } from './session.js';
import { buzz, say, stayAwake } from './signals.js';
import * as storage from './storage.js';
import { strip } from './strip.js';
import { strikeText, tapView } from './tap_view.js';
import { watchView } from './watch_view.js';

const [FASTEST, FASTEST_OVER_MS] = [24, 120000]; // one logger keeps up with 12 strikes a minute
const [header, standing, main, footer] = ['header', '[role=status]', 'main', 'footer'].map((name) => document.querySelector(name));
const undoButton = button('Undo', takeBack, { class: 'undo', key: 'U' });
const turnButton = button('', () => (openTurn() ? endTurn() : startTurn()).catch(trouble), { class: 'turn', key: 'Q' });

let views = null;
let given = null;
let shown = 'tap';
let alarm = '';

/** A tap that could not be kept does not count, and the page says so. */
function trouble(error) {
  alarm = `NOT kept, does not count: ${error.message}`;
  buzz(200);
  draw();
}

function actionText({ strikes: done } = {}) {
  if (!done) return 'dropped turn';
  const [first] = done;
  if (first.source === 'tap') return strikeText(first);
  return `${nameOf(first.player)}, ${first.foot}: ${done.filter(({ outcome }) => outcome === 'on target').length} of ${done.length}`;
}

async function takeBack() {
  try {
    const last = await undo();
    if (last) say(`Undone: ${actionText(last)}`);
  } catch (error) {
    trouble(error);
  }
}

/** The honest line: what is only on this phone, and what the server has. */
function standingText() {
  const [waiting, refused, why] = [queue.waitingCount(), queue.rejected().length, queue.delivery.trouble];
  if (alarm) return alarm;
  if (hasEnded()) return `Pass ended ${clockText(practice.briefing.expires_at)}: ask for a new one`;
  if (refused) return `${refused} refused: see ≡`;
  if (waiting) return `${waiting} kept on this phone, ${!why ? 'sending' : why === 'unreachable' ? 'no connection' : 'pass refused: see ≡'}`;
  const pace = strikes().filter(({ source }) => source === 'tap').at(-FASTEST);
  if (pace && Date.now() - Date.parse(pace.struck_at_phone) < FASTEST_OVER_MS) return 'Over 12 a minute: watch fewer, or share';
  if (!strikes().length) return readyWord();
  return `all stored ${queue.delivery.at ? clockText(queue.delivery.at) : ''}`;
}

function draw() {
  document.documentElement.dataset.theme = choices.dark ? 'dark' : 'light';
  document.body.classList.toggle('keys', choices.keys);
  if (!views) return;
  if (!views[shown].node.isConnected) main.replaceChildren(views[shown].node);
  given.refresh();
  views[shown].refresh();
  setText(standing, standingText());
  standing.classList.toggle('alarm', Boolean(alarm) || hasEnded() || queue.rejected().length > 0);
  const last = lastAction();
  undoButton.disabled = !last;
  setText(undoButton.lastChild, last ? actionText(last) : '');
  setText(turnButton.firstChild, openTurn() ? 'End turn' : 'Start turn');
  turnButton.setAttribute('aria-pressed', Boolean(openTurn()));
  // Where every target is in sight there is nothing to scroll for: a thumb that slides on wet glass still taps.
  const board = main.querySelector('.board');
  main.classList.toggle('fits', board && board.offsetTop + board.offsetHeight <= main.offsetTop + main.clientHeight + 1);
}

function show(view) {
  shown = view;
  draw();
  main.scrollTop = 0;
  if (view === 'watch') refresh();
}

function onKey({ key, repeat, ctrlKey, altKey, metaKey }) {
  if (!choices.keys || repeat || ctrlKey || altKey || metaKey || key.length > 1) return;
  const named = `[aria-keyshortcuts="${CSS.escape(key.toUpperCase())}"]`;
  (document.querySelector(`.panel.keyed ${named}`) ?? document.querySelector(`button:not(.panel *)${named}`))?.click();
}

async function start() {
  await storage.open();
  await queue.load();
  await open();
  if (!practice.briefing && practice.token) await refresh();
  draw();
  if (!practice.briefing) {
    const why = !practice.token ? 'This page opens with the code the coach shows; there is none in this address or on this phone.'
      : practice.trouble === 'unreachable' ? 'The server cannot be reached. Reload where there is a connection to it.' : practice.trouble;
    main.replaceChildren(element('p', { class: 'alarm' }, why));
    return;
  }
  document.title = `${practice.briefing.squad} · Strike Ladder`;
  given = strip();
  views = { tap: tapView(trouble), call: callOutView(trouble), watch: watchView(trouble, () => show('tap')), more: moreView(show) };
  undoButton.append(element('small'));
  header.append(given.node);
  footer.append(undoButton, turnButton, button('≡', () => show(shown === 'more' ? 'tap' : 'more'), { class: 'arrow', label: 'Views and settings' }));
  onChange(draw);
  queue.listen(() => {
    alarm = '';
    draw();
  });
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
