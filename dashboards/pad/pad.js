import { callOutView } from './call_out_view.js';
import { clockText } from './clock.js';
import { button, element, setText } from './elements.js';
import { endTurn, lastAction, openTurn, startTurn, undo } from './log.js';
import { moreView } from './more_view.js';
import { keepPage, readyWord } from './offline.js';
import * as queue from './queue.js';
import {
  choose, chosen, hasEnded, nameOf, open, practice, practiceId, refresh, showPlayer, strikes,
} from './session.js';
import { say, stayAwake } from './signals.js';
import * as storage from './storage.js';
import { strip } from './strip.js';
import { strikeText, tapView } from './tap_view.js';
import { watchView } from './watch_view.js';

const [FASTEST, TWO_MINUTES_MS, NOTICE_MS] = [24, 120000, 2500];
const [header, standing, main, footer] = ['header', '[role=status]', 'main', 'footer']
  .map((name) => document.querySelector(name));
const undoButton = button('Undo', takeBack, { class: 'undo', key: 'U' });
const turnButton = button('', () => (openTurn() ? endTurn() : startTurn()), { key: 'Q' });
const more = () => choose({ view: chosen.view === 'more' ? 'tap' : 'more' });
let [views, given, notice, fading] = [null, null, '', 0];

function actionText(action) {
  if (!action?.strikes) return action ? 'dropped turn' : '';
  const [first] = action.strikes;
  if (first.source === 'tap') return strikeText(first);
  const hits = action.strikes.filter(({ outcome }) => outcome === 'on target').length;
  return `${nameOf(first.player)}, ${first.foot}: ${hits} of ${action.strikes.length}`;
}

async function takeBack() {
  const action = lastAction();
  const text = `Undone: ${actionText(action)}`;
  if (!(await undo())) return;
  if (action?.strikes) {
    const [{ player, foot, stage, surface, distance_m }] = action.strikes;
    showPlayer(player);
    choose({ foot, stage, surface, distance_m });
  }
  say(text);
  notice = text;
  draw();
  clearTimeout(fading);
  fading = setTimeout(() => { notice = ''; draw(); }, NOTICE_MS);
}

/** The honest line: what is only on this phone, and what the server has. */
function standingText() {
  const { trouble, at = strikes().at(-1)?.stored_at, lost } = queue.delivery;
  const [waiting, refused] = [queue.waitingCount(), queue.rejected().length];
  if (lost) return `NOT kept, does not count: ${lost}`;
  if (hasEnded()) return `Pass ended ${clockText(practice.briefing.expires_at)}: ask for a new one`;
  if (refused) return `${refused} refused: see ≡`;
  const how = trouble === 'no connection' ? trouble : 'pass refused: see ≡';
  if (waiting) return `${waiting} kept on this phone, ${trouble ? how : 'sending'}`;
  const pace = strikes().filter(({ source }) => source === 'tap').at(-FASTEST)?.struck_at_phone;
  if (Date.now() - Date.parse(pace) < TWO_MINUTES_MS) return 'Over 12 a minute: watch fewer';
  return at ? `all stored ${clockText(at)}` : readyWord();
}

function draw() {
  document.body.dataset.theme = chosen.dark ? 'dark' : 'light';
  document.body.classList.toggle('keys', chosen.keys);
  if (!views) return;
  const view = views[chosen.view];
  if (!view.node.isConnected) {
    main.replaceChildren(view.node);
    main.scrollTop = 0;
    if (chosen.view === 'watch') refresh();
  }
  given.refresh();
  view.refresh();
  setText(standing, standingText());
  standing.classList.toggle('alarm', Boolean(queue.delivery.lost) || hasEnded() || queue.rejected().length > 0);
  setText(undoButton.lastChild, notice || actionText(lastAction()));
  undoButton.disabled = !lastAction();
  setText(turnButton.firstChild, openTurn() ? 'End turn' : 'Start turn');
  turnButton.setAttribute('aria-pressed', Boolean(openTurn()));
  // With all targets in sight nothing scrolls: a thumb that slides still taps.
  const room = main.offsetTop + main.clientHeight + 1;
  const { offsetTop, offsetHeight } = main.querySelector('.board') ?? {};
  main.classList.toggle('fits', offsetTop + offsetHeight <= room);
}

function onKey({ key, repeat, ctrlKey, altKey, metaKey }) {
  if (!chosen.keys || repeat || ctrlKey || altKey || metaKey || key.length > 1) return;
  const named = `[aria-keyshortcuts="${CSS.escape(key.toUpperCase())}"]`;
  (document.querySelector(`.keyed ${named}`) ?? document.querySelector(`button:not(.panel *)${named}`))?.click();
}

async function start() {
  await storage.open();
  await queue.load();
  await open();
  if (!practice.briefing && practice.token) await refresh();
  if (!practice.briefing) {
    const why = practice.token ? `Cannot start: ${practice.trouble}` : 'Open this page with the code the coach shows.';
    main.replaceChildren(element('p', { class: 'alarm' }, why));
    return;
  }
  given = strip();
  views = { tap: tapView(), call: callOutView(), watch: watchView(), more: moreView() };
  undoButton.append(element('small'));
  header.append(given.node);
  footer.append(undoButton, turnButton, button('≡', more, { class: 'arrow', label: 'Views and settings' }));
  queue.listen(draw);
  queue.start({ practice: practiceId(), token: practice.token });
  addEventListener('keydown', onKey);
  addEventListener('resize', draw);
  document.addEventListener('visibilitychange', () => stayAwake().then(draw));
  setInterval(draw, 30000); // the pass may end
  await Promise.all([refresh(), keepPage(), stayAwake()]);
  draw();
}

addEventListener('hashchange', () => location.reload());
start().catch((error) => { main.textContent = `The page could not start: ${error.message}`; });
