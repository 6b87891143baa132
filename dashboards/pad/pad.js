// Starts the page, and ties its views to the bar with Undo, to the status line and to the keyboard.

import { callOutView } from '/pad/call_out_view.js';
import { clockText } from '/pad/clock.js';
import { button, element, keepingFocus, setText } from '/pad/elements.js';
import { moreView } from '/pad/more_view.js';
import { keepPage, readyWord } from '/pad/offline.js';
import * as queue from '/pad/queue.js';
import { actions, choices, endTurn, hasEnded, nameOf, onChange, open, openTurn, refresh, session, startTurn, strikes,
  undo } from '/pad/session.js';
import { buzz, say, stayAwake } from '/pad/signals.js';
import * as storage from '/pad/storage.js';
import { strip } from '/pad/strip.js';
import { strikeText, tapView } from '/pad/tap_view.js';
import { watchView } from '/pad/watch_view.js';

const FASTEST_FOR_TWO_MINUTES = 24; // one logger keeps up with 12 strikes a minute
const NAMES = { tap: 'Tap', call: 'Call-out', watch: 'Watch', more: 'More' };
const byId = (id) => document.getElementById(id);

let views;
let header;
let alarm = '';

/** A tap that could not be kept does not count, and says so. */
function trouble(error) {
  alarm = `NOT kept: ${error.message}`;
  buzz(200);
  draw();
}

function lastActionText() {
  const last = actions().at(-1);
  if (!last) return 'nothing';
  if (last.turn) return 'dropped turn';
  const [first] = last.strikes;
  if (first.source === 'tap') return strikeText(first);
  const hits = last.strikes.filter((strike) => strike.outcome === 'on target').length;
  return `${nameOf(first.player)}, ${first.foot}: ${hits} of ${last.strikes.length}`;
}

function isTooFast() {
  const recent = strikes().filter((strike) => strike.source === 'tap').at(-FASTEST_FOR_TWO_MINUTES);
  return recent && Date.now() - Date.parse(recent.struck_at_phone) < 120000;
}

/** The honest line: what is only here, and what the server has. */
function standing() {
  const count = queue.waitingCount();
  const refused = queue.rejected().length;
  if (alarm) return alarm;
  if (hasEnded()) return `Pass ended ${clockText(session.briefing.expires_at)}: ask for a new one`;
  if (refused) return `${refused} refused, see More`;
  if (count) {
    const { trouble: why } = queue.delivery;
    return `${count} kept on this phone, ${!why ? 'sending' : why === 'unreachable' ? 'no connection' : 'pass refused, see More'}`;
  }
  if (isTooFast()) return 'Over 12 a minute: watch one group, or ask for a second logger';
  if (!strikes().length) return readyWord();
  return queue.delivery.at ? `all stored ${clockText(queue.delivery.at)}` : 'all stored';
}

function draw() {
  document.documentElement.dataset.theme = choices.dark ? 'dark' : 'light';
  document.body.classList.toggle('keys', choices.keys);
  if (!views) return;
  const view = views[session.view];
  if (!view.node.isConnected) {
    byId('view').replaceChildren(view.node);
    byId('view').scrollTop = 0;
  }
  header.refresh();
  view.refresh();
  setText(byId('standing'), standing());
  document.body.dataset.view = session.view;
  byId('standing').classList.toggle('alarm', Boolean(alarm) || hasEnded() || queue.rejected().length > 0);
  setText(byId('undo').lastChild, lastActionText());
  byId('undo').disabled = lastActionText() === 'nothing';
  setText(byId('turn').firstChild, openTurn() ? 'End turn' : 'Start turn');
  byId('turn').setAttribute('aria-pressed', String(Boolean(openTurn())));
  for (const one of byId('nav').children) one.setAttribute('aria-current', one.dataset.view === session.view ? 'page' : 'false');
  // Where nothing scrolls, a thumb that slides on the glass still taps.
  const scroller = byId('view');
  scroller.classList.toggle('fits', scroller.scrollHeight <= scroller.clientHeight + 1);
}

async function takeBack() {
  alarm = '';
  try {
    const last = await undo();
    if (!last) return;
    buzz(15, 40, 15);
    say(last.turn ? 'Turn is back' : `Undone: ${strikeText(last.strikes[0])}`);
    draw();
  } catch (error) {
    trouble(error);
  }
}

function show(view) {
  session.view = view;
  byId('nav').classList.remove('open');
  draw();
  if (view === 'watch') refresh();
}

function bar() {
  const undoButton = button('Undo', takeBack, { id: 'undo', key: 'U' });
  undoButton.append(element('small'));
  const turn = button('Start turn', () => (openTurn() ? endTurn() : startTurn()), { id: 'turn', key: 'Q' });
  const open = () => {
    const isOpen = byId('nav').classList.toggle('open');
    byId('views').setAttribute('aria-expanded', String(isOpen));
  };
  const nav = element('nav', { id: 'nav', 'aria-label': 'Views' },
    ...Object.entries(NAMES).map(([view, name]) => button(name, () => show(view), { 'data-view': view })));
  return [undoButton, turn, button('≡', open, { id: 'views', 'aria-label': 'Views', 'aria-expanded': 'false',
    'aria-controls': 'nav' }), nav];
}

function byKey(event) {
  if (!choices.keys || event.repeat || event.ctrlKey || event.altKey || event.metaKey || event.key.length > 1) return;
  const key = CSS.escape(event.key.toUpperCase());
  const scope = document.querySelector('.panel.keyed') ? '.panel.keyed ' : '';
  const node = document.querySelector(`${scope}[aria-keyshortcuts="${key}"]`)
    ?? document.querySelector(`:not(.target)[aria-keyshortcuts="${key}"]`);
  node?.click();
}

async function start() {
  await storage.open();
  await queue.load();
  await open();
  onChange(draw);
  draw();
  if (!session.briefing) await refresh();
  if (!session.briefing) {
    byId('view').replaceChildren(element('p', { class: 'alarm', text: !session.token
      ? 'This page opens with the code the coach shows. There is none in this address, and none is kept on this phone.'
      : session.trouble === 'unreachable' ? 'The server cannot be reached. Reload this page once there is a connection to it.'
        : session.trouble }));
    return;
  }
  header = strip();
  views = { tap: tapView(trouble), call: callOutView(trouble), watch: watchView(trouble), more: moreView() };
  byId('top').append(header.node);
  byId('bar').append(...bar());
  document.title = `${session.briefing.squad} · Strike Ladder`;
  queue.listen(() => { alarm = ''; draw(); });
  queue.start((practice) => (practice === session.briefing.practice.practice_id ? session.token : null));
  draw();
  addEventListener('keydown', byKey);
  addEventListener('resize', draw);
  addEventListener('hashchange', () => location.reload());
  addEventListener('contextmenu', (event) => event.preventDefault());
  document.addEventListener('visibilitychange', () => { stayAwake(); draw(); });
  setInterval(draw, 30000); // the pass may end, the pace may ease
  stayAwake().then(draw);
  refresh();
  keepPage(draw);
}

start().catch((error) => {
  byId('view').textContent = `The page could not start: ${error.message}`;
});
